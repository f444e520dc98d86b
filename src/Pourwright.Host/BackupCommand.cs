using Microsoft.Data.Sqlite;
using Pourwright.Studio.Seals;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Backups;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Host;

/// <summary>`backup --file studio.db --to copy.db`: a checked copy of a studio's file, also while a node writes into it. `backup --file copy.db --to studio.db` restores it, into a place where no file is.</summary>
/// <remarks>Exit code 0 where the copy is whole and all evidence in it as it was recorded, 1 where something is not, 2 where no copy could be made.</remarks>
public static class BackupCommand
{
    public static int Run(string[] args, TextWriter output, TextWriter errors)
    {
        var options = new ConfigurationBuilder().AddCommandLine(args).Build();
        if (options["file"] is not { Length: > 0 } file || options["to"] is not { Length: > 0 } copy)
            return Failed(errors, "Say which file, and where to: backup --file studio.db --to copy.db. A PostgreSQL database is backed up by pg_dump.");
        try
        {
            var faults = FileBackup.Take(file, copy, BrokenLinks);
            foreach (var fault in faults) errors.WriteLine(fault);
            output.WriteLine(faults.Count == 0
                ? $"{copy}: {new FileInfo(copy).Length:N0} bytes, whole, and all evidence in it as it was recorded."
                : $"{copy}.unfinished has {faults.Count} faults, and so may {file}: look at both before you trust either, and keep older copies.");
            return faults.Count == 0 ? 0 : 1;
        }
        catch (Exception e) when (e is InvalidOperationException or SqliteException or IOException or UnauthorizedAccessException)
        {
            return Failed(errors, e.Message);
        }
    }

    private static IEnumerable<string> BrokenLinks(string copy)
    {
        using var store = new SqliteStore(copy);
        using var reads = new StudioReads(store);
        using var reading = reads.Open();
        foreach (var studio in reading.Query<string>("SELECT name FROM studios ORDER BY name"))
            foreach (var step in new EvidenceCheck(reading, studio, null).Steps())
                if (step.Fault is { } fault) yield return fault.ToText();
    }

    private static int Failed(TextWriter errors, string message)
    {
        errors.WriteLine(message);
        return 2;
    }
}
