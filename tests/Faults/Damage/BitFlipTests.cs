using Grpc.Core;
using Microsoft.Data.Sqlite;
using Pourwright.Faults.Crashes;
using Pourwright.Studio.Storage.Chain;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Damage;

/// <summary>
/// Goal: a bit that flips in the file is found, or changes no answer. Method: one random bit of a filled file is flipped; SQLite's own
/// check and the chains look at it; where neither says a word, every row of every table is compared with what was there. SQLite keeps
/// no checksum of its pages, so rows that are no evidence are protected by nothing but backups: how many flips go unseen there is told.
/// </summary>
public sealed class BitFlipTests : IAsyncLifetime
{
    private readonly TestStore _store = TestStore.OnFile();
    private byte[] _sound = [];

    public async Task InitializeAsync()
    {
        await using (var harness = await StudioHarness.StartOnAsync(_store))
        {
            var load = await MixLoad.StartAsync(harness.Channel, pours: false);
            await using (load) await load.AcknowledgedAsync(200);
        }
        _sound = await File.ReadAllBytesAsync(_store.Address);
    }

    public Task DisposeAsync()
    {
        _store.Dispose();
        return Task.CompletedTask;
    }

    [Fact]
    public void BitFlipped_InEvidence_IsFoundOrHarmless()
    {
        var (evidence, all) = (Evidence(), _store.Rows());
        var random = new Random(20260209);
        var flips = Cycles.Of(inShort: 150, inLong: 1000);
        var (found, silentEvidence, silentElsewhere) = (0, 0, 0);
        for (var flip = 0; flip < flips; flip++)
        {
            Flip(random);
            if (IsFound()) found++;
            else if (!evidence.SequenceEqual(Evidence())) silentEvidence++;
            else if (!all.SequenceEqual(_store.Rows())) silentElsewhere++;
        }
        Figures.AtLeast("bit_flips", flips, 1);
        Figures.AtLeast("bit_flips_found", found, 1);
        Figures.AtMost("bit_flips_silent_in_evidence", silentEvidence, 0);
        // No bar of ours is kept here: the rest of the rows has no checksum. At most all of them.
        Figures.AtMost("bit_flips_silent_elsewhere", silentElsewhere, flips);
    }

    /// <summary>On a damaged file a node starts or says why not, and each call is answered or refused; nothing ends without a word.</summary>
    [Fact]
    public async Task NodeOnADamagedFile_AnswersOrRefusesWithAWord()
    {
        var random = new Random(20260210);
        var starts = Cycles.Of(inShort: 6, inLong: 100);
        var speechless = 0;
        for (var start = 0; start < starts; start++)
        {
            do Flip(random);
            while (!IsFound());
            speechless += await SpeaksAsync() ? 0 : 1;
        }
        Figures.AtLeast("bit_flips_nodes_started", starts, 1);
        Figures.AtMost("bit_flips_nodes_speechless", speechless, 0);
    }

    private void Flip(Random random)
    {
        byte[] damaged = [.. _sound];
        damaged[random.Next(damaged.Length)] ^= (byte)(1 << random.Next(8));
        foreach (var ending in (string[])["-wal", "-shm", "-journal"]) File.Delete(_store.Address + ending);
        File.WriteAllBytes(_store.Address, damaged);
    }

    private bool IsFound()
    {
        try
        {
            if (StudioFile.Faults(_store.Address).Count > 0) return true;
            // A damaged name of a column shows only where the column is asked for.
            Evidence();
            _store.Rows();
            return false;
        }
        catch (Exception e) when (IsAWord(e))
        {
            return true;
        }
    }

    /// <summary>A node is asked for its mixes and told of a studio.</summary>
    private async Task<bool> SpeaksAsync()
    {
        try
        {
            await using var harness = await StudioHarness.StartOnAsync(_store);
            harness.ExpectErrorContaining("");
            await new MixService.MixServiceClient(harness.Channel).ListMixesAsync(new() { Parent = SampleStudio.Name, PageSize = 500 });
            await new StudioService.StudioServiceClient(harness.Channel).CreateStudioAsync(new() { StudioId = "birch", Studio = new() { DisplayName = "Birch" } });
            return true;
        }
        catch (Exception e)
        {
            return IsAWord(e);
        }
    }

    private static bool IsAWord(Exception e) => e is SqliteException or InvalidOperationException or FormatException || e is RpcException { StatusCode: not StatusCode.Unknown };

    /// <summary>What the chains stand for.</summary>
    private List<string> Evidence()
    {
        using var connection = new SqliteConnection($"Data Source={_store.Address};Pooling=False");
        connection.Open();
        List<string> rows = [];
        foreach (var table in EvidenceTable.All)
        {
            using var command = connection.CreateCommand();
            command.CommandText = $"SELECT {string.Join(" || '|' || ", table.Columns.Select(column => $"quote({column})"))} FROM {table.Name}";
            using var reader = command.ExecuteReader();
            while (reader.Read()) rows.Add($"{table.Name}: {reader.GetString(0)}");
        }
        rows.Sort(StringComparer.Ordinal);
        return rows;
    }
}
