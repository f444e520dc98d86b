using Microsoft.Data.Sqlite;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Tests.Storage;

public sealed class StudioStoreTests
{
    [Fact]
    public async Task Migrate_SecondTime_ChangesNothing()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var before = Schema(studio);
        studio.Store.Migrate();
        Assert.Equal(before, Schema(studio));
        Assert.Contains("requests_seen", before);
        Assert.Contains("outbox", before);
        Assert.Contains("inbox", before);
    }

    [Fact]
    public async Task Migrate_SecondTime_RecordsEachScriptOnce()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        studio.Store.Migrate();
        var scripts = studio.Reads.Read(r => r.Query<string>("SELECT ScriptName FROM SchemaVersions"));
        Assert.Equal(scripts.Distinct(), scripts);
        Assert.Contains(scripts, name => name.EndsWith("0001-foundation.sql", StringComparison.Ordinal));
    }

    // synchronous: 2 is FULL (SQLite documentation, PRAGMA synchronous).
    [Theory]
    [InlineData("PRAGMA journal_mode", "wal")]
    [InlineData("PRAGMA synchronous", "2")]
    [InlineData("PRAGMA foreign_keys", "1")]
    public async Task OpenWriter_Pragma_IsDurableAndStrict(string pragma, string expected)
    {
        await using var studio = await TemporaryStudio.StartAsync();
        using var writer = studio.Store.OpenWriter();
        using var command = writer.CreateCommand();
        command.CommandText = pragma;
        Assert.Equal(expected, $"{command.ExecuteScalar()}");
    }

    [Fact]
    public async Task OpenReader_Write_IsRefused()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        using var reader = studio.Store.OpenReader();
        using var command = reader.CreateCommand();
        command.CommandText = "INSERT INTO notes (text) VALUES ('x')";
        Assert.Equal(SQLitePCL.raw.SQLITE_READONLY, Assert.Throws<SqliteException>(() => command.ExecuteNonQuery()).SqliteErrorCode);
    }

    [Fact]
    public async Task Open_CommitsMeanwhile_ViewStaysAsItWas()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        await studio.NoteAsync("first");
        using var view = studio.Reads.Open();
        Assert.Equal(1, view.Scalar<long>("SELECT count(*) FROM notes"));
        await studio.NoteAsync("second");
        Assert.Equal(1, view.Scalar<long>("SELECT count(*) FROM notes"));
        Assert.Equal(["first", "second"], studio.Notes());
    }

    private static IReadOnlyList<string> Schema(TemporaryStudio studio) =>
        studio.Reads.Read(r => r.Query<string>("SELECT name FROM sqlite_schema ORDER BY name"));
}
