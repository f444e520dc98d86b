using Microsoft.Data.Sqlite;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Studio.Storage.Backups;

/// <summary>A copy of a studio's file as it was at one instant, taken while a node writes, and checked before it gets its name.</summary>
/// <remarks>
/// SQLite's online backup in one step: the node goes on, and what it commits meanwhile is in its log. The copy grows beside its place under
/// another name, so that what bears the name of a backup is whole. To restore is the same the other way: from the copy into a new file.
/// </remarks>
public static class FileBackup
{
    private const string Unfinished = ".unfinished";

    /// <summary>Copies, then lets SQLite and <paramref name="check"/> look at the copy.</summary>
    /// <param name="check">What else there is to say against it, given its path.</param>
    /// <returns>What was found wrong; then the copy keeps its other name. Empty where it is sound.</returns>
    /// <exception cref="InvalidOperationException">There is no file to copy, or something is in the way; the message says what to do.</exception>
    /// <exception cref="SqliteException">The file cannot be read, or the copy not written.</exception>
    public static IReadOnlyList<string> Take(string file, string copy, Func<string, IEnumerable<string>> check)
    {
        if (!File.Exists(file)) throw new InvalidOperationException($"There is no file {file} to copy.");
        foreach (var ending in (string[])["", "-wal", "-shm"])
            if (File.Exists(copy + ending)) throw new InvalidOperationException($"{copy}{ending} is in the way. Name a new file, or move that one aside first.");
        var unfinished = copy + Unfinished;
        foreach (var ending in (string[])["", "-wal", "-shm", "-journal"]) File.Delete(unfinished + ending);
        Copy(file, unfinished);
        List<string> faults = [.. Faults(unfinished)];
        if (faults.Count == 0) faults.AddRange(check(unfinished));
        if (faults.Count == 0) File.Move(unfinished, copy);
        return faults;
    }

    private static void Copy(string file, string copy)
    {
        using var source = new SqliteStore(file);
        using SqliteConnection from = source.OpenReader(), to = new($"Data Source={copy};Pooling=False");
        to.Open();
        from.BackupDatabase(to);
        // The copy is one file, which nothing has to be folded into any more.
        using var command = to.CreateCommand();
        command.CommandText = "PRAGMA journal_mode = DELETE";
        command.ExecuteNonQuery();
    }

    private static IEnumerable<string> Faults(string copy)
    {
        using var connection = new SqliteConnection($"Data Source={copy};Pooling=False");
        connection.Open();
        foreach (var line in Lines(connection, "PRAGMA integrity_check"))
            if (line != "ok") yield return line;
        foreach (var table in Lines(connection, "PRAGMA foreign_key_check")) yield return $"A row of {table} refers to one that is not there.";
    }

    private static IEnumerable<string> Lines(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        using var reader = command.ExecuteReader();
        while (reader.Read()) yield return reader.GetString(0);
    }
}
