using Npgsql;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Copying;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Host;

/// <summary>`copy --from studio.db --to "Host=db;Database=pourwright;..."`: moves a studio from a SQLite file into a PostgreSQL database, or back; exit code 0 when every row was copied and read back alike.</summary>
public static class CopyCommand
{
    public static int Run(string[] args, TextWriter output, TextWriter errors)
    {
        if (args is not ["--from", var from, "--to", var to])
        {
            errors.WriteLine("""Say from where and to where: copy --from studio.db --to "Host=127.0.0.1;Database=pourwright;Username=pourwright;Password=...". Stop the nodes on both first.""");
            return 2;
        }
        try
        {
            using StudioStore source = Source(from), target = StoreSettings.At(to);
            var copied = StudioCopy.Run(source, target);
            foreach (var table in copied.Where(table => table.RowCount > 0)) output.WriteLine($"{table.RowCount,12:N0}  {table.Name}");
            output.WriteLine($"{copied.Sum(table => table.RowCount),12:N0}  rows of {copied.Count} tables copied and read back alike, from {source.Place} to {target.Place}.");
            return 0;
        }
        catch (Exception e) when (e is InvalidOperationException or ArgumentException or FileNotFoundException or NpgsqlException)
        {
            errors.WriteLine(e.Message);
            return 1;
        }
    }

    private static StudioStore Source(string address) => StoreSettings.At(address) is var store && store is SqliteStore file && !File.Exists(file.Path)
        ? throw new FileNotFoundException($"There is no file {file.Path} to copy from.")
        : store;
}
