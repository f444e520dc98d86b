using Microsoft.Data.Sqlite;
using Pourwright.Studio.Seals;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Sqlite;
using Pourwright.Testing;

namespace Pourwright.Faults.Crashes;

/// <summary>A studio's file looked at while no node runs on it.</summary>
internal static class StudioFile
{
    /// <summary>Which of some mixes are not in it.</summary>
    public static IReadOnlyList<string> Missing(string path, IEnumerable<string> mixes)
    {
        var kept = Texts(path, "SELECT name FROM mixes").ToHashSet();
        return [.. mixes.Where(mix => !kept.Contains(mix))];
    }

    /// <summary>What SQLite and the chains of evidence have against it; empty where it is sound.</summary>
    public static IReadOnlyList<string> Faults(string path)
    {
        IReadOnlyList<string> integrity = [.. Texts(path, "PRAGMA integrity_check").Where(line => line != "ok"), .. Texts(path, "PRAGMA foreign_key_check")];
        if (integrity.Count > 0) return integrity;
        using var reads = new StudioReads(new SqliteStore(path));
        return reads.Read(session => new EvidenceCheck(session, SampleStudio.Name, null).Steps().Select(step => step.Fault?.ToText()).OfType<string>().ToList());
    }

    private static List<string> Texts(string path, string sql)
    {
        using var connection = new SqliteConnection($"Data Source={path};Pooling=False");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        using var reader = command.ExecuteReader();
        List<string> texts = [];
        while (reader.Read()) texts.Add(reader.GetString(0));
        return texts;
    }
}
