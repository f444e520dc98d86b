using System.Data.Common;
using Grpc.Core;
using Pourwright.Studio.Storage.Chain;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Seals;

/// <summary>When links are made, and when not.</summary>
public sealed class ChainTests : IAsyncLifetime
{
    private RecordedStudio _studio = null!;

    public async Task InitializeAsync() => _studio = await RecordedStudio.FilledAsync();

    public async Task DisposeAsync() => await _studio.DisposeAsync();

    /// <summary>Tables that change, or that only say how things are; a new table belongs here or in EvidenceTable.All.</summary>
    private static readonly string[] NoEvidence =
    [
        "studios", "sites", "contacts", "benches", "sensors", "rooms", "stations", "outages", "travel", "moulds", "mould_bookings",
        "resin_systems", "offerings", "instructors", "instructor_offerings", "absences", "classes", "class_sites", "sessions", "students",
        "enrolments", "tasks", "plans", "placements", "placed_sessions", "calendar_links", "reminders", "deliveries", "benches_touched", "export_keys",
        "bench_outlooks", "resin_beliefs", "observations_learned", "requests_seen", "outbox", "inbox", "leases", "chain_rows", "chain_adopted",
        "access_keys", "student_links", "health_notes", "node_secrets", "seals", "sealed_heads", "scales", "site_alarms",
    ];

    [Fact]
    public void EveryTable_IsEvidenceOrSaysThatItIsNot() => Assert.Equal(
        _studio.Harness.Reads.Read(session => session.Query<string>(
            _studio.Harness.Store.IsFile
                ? "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' AND name <> 'SchemaVersions'"
                : "SELECT CAST(table_name AS TEXT) FROM information_schema.tables WHERE table_schema = 'public' AND table_type = 'BASE TABLE' AND table_name <> 'schemaversions'")).Order(),
        NoEvidence.Concat(EvidenceTable.All.Select(table => table.Name)).Order());

    [Fact]
    public void EveryColumnOfEvidence_IsListed() => Assert.All(EvidenceTable.All, table => Assert.Equal(
        _studio.Harness.Reads.Read(session => session.Query<string>(
            _studio.Harness.Store.IsFile
                ? "SELECT name FROM pragma_table_info(@Name)"
                : "SELECT CAST(column_name AS TEXT) FROM information_schema.columns WHERE table_schema = 'public' AND table_name = @Name", new { table.Name })).Order(),
        table.Columns.Concat(table.Others).Order()));

    [Fact]
    public async Task Verify_AfterRestart_NoFault_AndTheChainGoesOn()
    {
        var seal = await _studio.SealAsync();
        await _studio.Harness.RestartAsync();
        Assert.Empty((await _studio.VerifyAsync(seal)).Faults);

        await _studio.MixAsync(SampleStudio.North);

        var (faults, summary) = await _studio.VerifyAsync(seal);
        Assert.Empty(faults);
        // A mix of two draws: one link and one for each draw; and who sealed, and who mixed.
        Assert.Equal(5, summary.UnsealedCount);
    }

    [Fact]
    public async Task Verify_AfterDryRunsAndRefusals_NoFault_AndNoLinkMore()
    {
        var before = Links();
        var mixes = new V1.MixService.MixServiceClient(_studio.Harness.Channel);
        var dry = RecordedStudio.Mix(SampleStudio.North);
        dry.ValidateOnly = true;
        var wrong = RecordedStudio.Mix(SampleStudio.North);
        wrong.Mix.Draws[1].MassMg = 90_000;
        await mixes.RecordMixAsync(dry);
        await Assert.ThrowsAsync<RpcException>(() => mixes.RecordMixAsync(wrong).ResponseAsync);
        await _studio.RecordReadingsAsync(SampleStudio.North, 0);

        Assert.Equal(before, Links());
        Assert.Empty((await _studio.VerifyAsync()).Faults);
        await _studio.MixAsync(SampleStudio.North);
        Assert.Equal(before + 3, Links());
        Assert.Empty((await _studio.VerifyAsync()).Faults);
    }

    /// <summary>Writes that share a commit, of which every third fails after it has recorded: its links go with it, the others' hold.</summary>
    [Fact]
    public async Task Verify_AfterConcurrentWritesThatFailInBetween_NoFault()
    {
        var writes = Enumerable.Range(0, 90).Select(number => _studio.Harness.Writer.WriteAsync(tx =>
        {
            tx.Execute("INSERT INTO mix_discards (mix, mass_mg, discard_ms) SELECT name, 1, @number FROM mixes LIMIT 2", new { number });
            if (number % 3 == 0) throw new InvalidOperationException("on purpose");
        })).ToList();
        var calls = Enumerable.Range(0, 30).Select(number => _studio.MixAsync(RecordedStudio.Sites[number % 3]));

        await Task.WhenAll(calls);
        foreach (var write in writes) await write.ContinueWith(_ => { }, TaskScheduler.Default);

        Assert.Equal(30, writes.Count(write => write.IsFaulted));
        Assert.Empty((await _studio.VerifyAsync()).Faults);
    }

    /// <summary>A failed statement leaves nothing in the store, but the triggers saw its row: the write must not go on.</summary>
    [Fact]
    public async Task Write_GoesOnAfterAFailedInsertOfEvidence_FailsAsAWhole()
    {
        var before = Links();
        await Assert.ThrowsAnyAsync<Exception>(() => _studio.Harness.Writer.WriteAsync(tx =>
        {
            try
            {
                tx.ExecuteCounted("INSERT INTO mix_discards (mix, mass_mg, discard_ms) SELECT name, CASE WHEN name = (SELECT max(name) FROM mixes) THEN 0 ELSE 1 END, 0 FROM mixes ORDER BY name");
            }
            catch (DbException)
            {
                tx.Execute("INSERT INTO mix_discards (mix, mass_mg, discard_ms) SELECT name, 1, 0 FROM mixes LIMIT 1");
            }
        }));
        Assert.Equal(before, Links());
        Assert.Empty((await _studio.VerifyAsync()).Faults);
    }

    /// <summary>A file from before there were chains: its rows are linked at the start, once, and never again.</summary>
    [Fact]
    public async Task Start_RowsWithoutLinks_AdoptedOnce_AndNotWhatIsPutInLater()
    {
        await AlterAsync("DELETE FROM chain_rows; DELETE FROM chain_adopted; DELETE FROM seals; DELETE FROM sealed_heads;");
        var (faults, summary) = await _studio.VerifyAsync();
        Assert.Empty(faults);
        Assert.Equal(summary.RecordCount, summary.AdoptedCount);
        Assert.Contains("older than the chains", summary.Text, StringComparison.Ordinal);

        await AlterAsync("INSERT INTO mix_discards (mix, mass_mg, discard_ms) SELECT name, 5, 0 FROM mixes LIMIT 1");
        Assert.Equal("mix_discards", Assert.Single((await _studio.VerifyAsync()).Faults).Table);

        await AlterAsync("DELETE FROM chain_adopted");
        Assert.Equal("mix_discards", Assert.Single((await _studio.VerifyAsync()).Faults).Table);
    }

    /// <summary>The last link of a chain is where the next one begins: damage there must not keep people from recording.</summary>
    [Fact]
    public async Task Record_LastLinkDamaged_GoesOn_AndTheDamageIsTold()
    {
        await AlterAsync($"UPDATE chain_rows SET link = 'none' WHERE site = '{SampleStudio.North}' AND position = (SELECT max(position) FROM chain_rows WHERE site = '{SampleStudio.North}')");
        await _studio.MixAsync(SampleStudio.North);
        await _studio.SealAsync();

        Assert.Contains((await _studio.VerifyAsync()).Faults, fault => fault.Finding.Contains("overwritten", StringComparison.Ordinal));
    }

    [Fact]
    public async Task SealDaily_SealsOnceADay_AndOnlyWhereSomethingWasRecorded()
    {
        // The studio was settled when it was filled: that sealed it.
        Assert.Equal(1, Seals());
        await _studio.Harness.AdvanceAsync(TimeSpan.FromHours(23));
        Assert.Equal(1, Seals());
        await _studio.MixAsync(SampleStudio.South);
        await _studio.Harness.AdvanceAsync(TimeSpan.FromHours(2));
        Assert.Equal(2, Seals());
        Assert.Empty((await _studio.VerifyAsync()).Faults);
    }

    private async Task AlterAsync(string sql)
    {
        _studio.Harness.Store.Alter(sql);
        await _studio.Harness.RestartAsync();
    }

    private long Links() => Count("SELECT count(*) FROM chain_rows WHERE record_table <> 'audit_entries'");

    private long Seals() => Count("SELECT count(*) FROM seals");

    private long Count(string sql) => _studio.Harness.Reads.Read(session => session.Scalar<long>(sql));
}
