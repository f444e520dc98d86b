using System.Data.Common;
using Microsoft.Data.Sqlite;
using Npgsql;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Postgres;
using Pourwright.Studio.Storage.Sqlite;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Storage;

public sealed class StudioStoreTests
{
    [Fact]
    public async Task Migrate_SecondTime_ChangesNothing()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var before = StoreSchema.Of(studio.Store);
        studio.Store.Migrate();
        Assert.Equal(before, StoreSchema.Of(studio.Store));
        Assert.Contains("outbox.body TEXT required", before);
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
        await using var studio = await TemporaryStudio.StartAsync(store: TestStore.OnFile());
        using var writer = ((SqliteStore)studio.Store).OpenWriter();
        using var command = writer.CreateCommand();
        command.CommandText = pragma;
        Assert.Equal(expected, $"{command.ExecuteScalar()}");
    }

    [Fact]
    public async Task Read_Write_IsRefused()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var e = Assert.ThrowsAny<DbException>(() => studio.Reads.Read(r => r.Scalar<long>("INSERT INTO notes (text) VALUES ('x') RETURNING id")));
        Assert.True(e is SqliteException { SqliteErrorCode: SQLitePCL.raw.SQLITE_READONLY } or PostgresException { SqlState: PostgresErrorCodes.ReadOnlySqlTransaction });
        Assert.Empty(studio.Notes());
    }

    [ServerFact]
    public void Migrate_BothStores_HaveTheSameTablesColumnsKeysAndIndexes()
    {
        using var file = TestStore.OnFile();
        using var server = TestStore.OnServer();
        using StudioStore sqlite = file.Open(), postgres = server.Open();
        sqlite.Migrate();
        postgres.Migrate();
        var schema = StoreSchema.Of(sqlite);
        Assert.Equal(schema, StoreSchema.Of(postgres));
        Assert.True(schema.Count > 500, $"{schema.Count} facts are too few for this schema.");
    }

    [ServerFact]
    public void Migrate_BothStores_HaveScriptsOfTheSameNames()
    {
        var names = typeof(StudioStore).Assembly.GetManifestResourceNames();
        Assert.Equal(Scripts("Sqlite"), Scripts("Postgres"));

        IEnumerable<string> Scripts(string store) => names.Where(name => name.Contains($".Migrations.{store}.", StringComparison.Ordinal))
            .Select(name => name[(name.IndexOf($".{store}.", StringComparison.Ordinal) + store.Length + 2)..]).Order(StringComparer.Ordinal);
    }

    [ServerFact]
    public void Migrate_NodesStartTogether_EachScriptRunsOnce()
    {
        using var store = TestStore.OnServer(isEmpty: true);
        Parallel.For(0, 4, _ =>
        {
            using var own = store.Open();
            own.Migrate();
        });
        using var opened = store.Open();
        using var reads = new StudioReads(opened);
        var scripts = reads.Read(r => r.Query<string>("SELECT ScriptName FROM SchemaVersions"));
        Assert.Equal(scripts.Distinct(), scripts);
        Assert.NotEmpty(scripts);
    }

    [ServerFact]
    public void Migrate_DatabaseOrdersTextByALanguage_IsRefusedWithTheWayOut()
    {
        using var store = TestStore.OnServer(isEmpty: true, locale: "ICU_LOCALE 'en-US' LOCALE_PROVIDER icu");
        using var opened = store.Open();
        Assert.Contains("--locale=C", Assert.Throws<InvalidOperationException>(opened.Migrate).Message);
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
}
