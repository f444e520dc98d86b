using System.Data.Common;
using Grpc.Core;
using Microsoft.Data.Sqlite;
using Pourwright.Evidence.Sealing;
using Pourwright.Host;
using Pourwright.Studio.Storage.Chain;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Seals;

/// <summary>One filled studio for the tests that leave its records as they are.</summary>
public sealed class FilledStudio : IAsyncLifetime
{
    public RecordedStudio Studio { get; private set; } = null!;

    public string KeptSeal { get; private set; } = "";

    public async Task InitializeAsync()
    {
        Studio = await RecordedStudio.FilledAsync();
        KeptSeal = await Studio.SealAsync();
    }

    public async Task DisposeAsync() => await Studio.DisposeAsync();
}

public sealed class SealTests(FilledStudio filled) : IClassFixture<FilledStudio>
{
    private RecordedStudio Studio => filled.Studio;

    /// <summary>Each table of evidence holds rows, so nothing below passes for want of them.</summary>
    [Fact]
    public async Task VerifyEvidence_FilledThroughEveryCall_NoFaultAndEveryRowHasItsLink()
    {
        var (faults, summary) = await Studio.VerifyAsync(filled.KeptSeal);

        Assert.Empty(faults.Select(fault => fault.Finding));
        var rows = EvidenceTable.All.ToDictionary(table => table.Name, table => Count($"SELECT count(*) FROM {table.Name}"));
        Assert.All(rows, table => Assert.True(table.Value > 0, table.Key));
        Assert.Equal(rows.Values.Sum(), summary.RecordCount);
        Assert.Equal(Count("SELECT count(*) FROM chain_rows"), summary.LinkCount);
        Assert.Equal((4, 0), (summary.ChainCount, (int)summary.AdoptedCount));
        // Who made the seal, and who was refused one with a taken id, should that test have run.
        Assert.InRange(summary.UnsealedCount, 1, 2);
        Assert.Contains("No fault", summary.Text, StringComparison.Ordinal);
    }

    /// <summary>Sixteen readings of a sensor, recorded together, share one link: 3 sites × 6 batches.</summary>
    [Fact]
    public void Chain_BatchOfReadings_HasOneLink() =>
        Assert.Equal(18, Count("SELECT count(*) FROM chain_rows WHERE record_table = 'readings'"));

    [Fact]
    public async Task ExportSeal_Read_GivesTheSealAgain()
    {
        var seal = (await Studio.Seals.ListSealsAsync(new() { Parent = SampleStudio.Name })).Seals[0];
        var whole = await Studio.Seals.GetSealAsync(new() { Name = seal.Name });
        var json = (await Studio.Seals.ExportSealAsync(new() { Name = seal.Name })).Data.ToStringUtf8();
        var page = (await Studio.Seals.ExportSealAsync(new() { Name = seal.Name, Format = ExportSealRequest.Types.Format.Text })).Data.ToStringUtf8();
        var kept = SealJson.Read(json);

        Assert.Equal((whole.Root, whole.HeadCount, 4), (kept.Root.Hex, kept.HeadCount, kept.Heads.Count));
        Assert.Equal(json, SealJson.Write(kept));
        Assert.Contains(whole.Root, page, StringComparison.Ordinal);
        Assert.Contains(json, page, StringComparison.Ordinal);
        Assert.True(page.Split('\n').Length < 30);
    }

    [Theory]
    [InlineData("{}")]
    [InlineData("SEAL studios/alder/seals/seal-1")]
    [InlineData("""{"format":"pourwright seal 1","seal_time_ms":0,"head_count":1,"root":"00","heads":[]}""")]
    [InlineData("""{"format":"pourwright seal 1","seal_time_ms":0,"head_count":1,"root":"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855","heads":[{"site":"studios/birch","row_count":1,"link":"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"}]}""")]
    public async Task VerifyEvidence_NoSealOfThisStudio_Refused(string kept)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(() => Studio.VerifyAsync(kept));
        Assert.Equal((StatusCode.InvalidArgument, "FIELD_INVALID"), (refusal.StatusCode, refusal.Reason()));
    }

    [Fact]
    public async Task GetSeal_Unknown_NotFound_AndATakenIdIsRefused()
    {
        var unknown = await Assert.ThrowsAsync<RpcException>(() => Studio.Seals.GetSealAsync(new() { Name = $"{SampleStudio.Name}/seals/none" }).ResponseAsync);
        var taken = (await Studio.Seals.ListSealsAsync(new() { Parent = SampleStudio.Name })).Seals[0].Name.Split('/')[^1];
        var again = await Assert.ThrowsAsync<RpcException>(() => Studio.Seals.CreateSealAsync(new() { Parent = SampleStudio.Name, SealId = taken }).ResponseAsync);

        Assert.Equal(("SEAL_NOT_FOUND", "SEAL_EXISTS"), (unknown.Reason(), again.Reason()));
    }

    /// <summary>What the node itself may do: nothing to a listed column of any table but to a text whose seal stays, and no deletion.</summary>
    [Fact]
    public async Task Writer_ChangesOrDeletesEvidence_RefusedForEveryListedColumn()
    {
        foreach (var table in EvidenceTable.All)
        {
            foreach (var column in table.Kept) await RefusedAsync($"UPDATE {table.Name} SET {column} = {column}");
            await RefusedAsync($"DELETE FROM {table.Name}");
            foreach (var column in table.Others.Except(table.Kept)) await ChangedAsync($"UPDATE {table.Name} SET {column} = {column}");
            foreach (var column in table.Sealed) await ChangedAsync($"UPDATE {table.Name} SET {column} = {column} WHERE {column}_seal IS NOT NULL");
        }
        // Of the audit, only what names a student has seals.
        await RefusedAsync("UPDATE audit_entries SET names = names WHERE names_seal IS NULL");

        async Task ChangedAsync(string sql) => Assert.True(await Studio.Harness.Writer.WriteAsync(tx => tx.ExecuteCounted(sql)) > 0);

        async Task RefusedAsync(string sql)
        {
            var refused = await Assert.ThrowsAnyAsync<DbException>(() => Studio.Harness.Writer.WriteAsync(tx => tx.Execute(sql)));
            Assert.Contains("is evidence", refused.Message, StringComparison.Ordinal);
        }
    }

    /// <summary>By POURWRIGHT_TAMPERINGS more or fewer. Links alone find what leaves them, the kept seal what computes them anew.</summary>
    [Fact]
    public async Task EvidenceCheck_SeededTamperings_EveryOneFound()
    {
        var kept = SealJson.Read(await Studio.SealAllAsync());
        var count = int.Parse(Environment.GetEnvironmentVariable("POURWRIGHT_TAMPERINGS") ?? "500", System.Globalization.CultureInfo.InvariantCulture);
        var original = Studio.CopyFile("original.db");
        Assert.Empty(RecordedStudio.Faults(original, kept));

        Assert.Empty(Enumerable.Range(0, count).Select(seed => Unfound(original, seed, kept)).OfType<string>());
    }

    /// <summary>The other half: who cuts the tail and seals anew is found by nothing inside the file.</summary>
    [Fact]
    public async Task EvidenceCheck_TailCutAndSealedAnew_FoundByTheKeptSealAlone()
    {
        var kept = SealJson.Read(await Studio.SealAllAsync());
        var original = Studio.CopyFile("uncut.db");
        var path = Enumerable.Range(0, 100).Select(seed => Tampered(original, seed)).First(tampered => tampered.What.Contains(" from ", StringComparison.Ordinal)).Path;

        Assert.Empty(RecordedStudio.Faults(path));
        Assert.Contains(RecordedStudio.Faults(path, kept), fault => fault.Finding.Contains("are left", StringComparison.Ordinal));
    }

    [Fact]
    public void VerifyCommand_FileAlone_EndsWith0_AndWith1WhereAMixWasEdited()
    {
        var copy = Studio.CopyFile("offline.db");
        var seal = Path.Combine(Studio.Harness.Folder, "seal.json");
        File.WriteAllText(seal, filled.KeptSeal);
        var (sound, edited, unread) = (new StringWriter(), new StringWriter(), new StringWriter());

        Assert.Equal(0, VerifyCommand.Run(["--file", copy, "--seal", seal], sound));
        Alter(copy, "UPDATE mixes SET b_mass_mg = b_mass_mg - 4000 WHERE name = (SELECT min(name) FROM mixes WHERE site = 'studios/alder/sites/north')");
        Assert.Equal(1, VerifyCommand.Run(["--file", copy], edited));
        Assert.Equal(2, VerifyCommand.Run(["--file", copy + ".none"], unread));

        Assert.Contains("No fault", sound.ToString(), StringComparison.Ordinal);
        Assert.Matches("studios/alder/sites/north link [0-9]+ mixes studios/alder/mixes/", edited.ToString());
        Assert.False(File.Exists(copy + ".none"));
    }

    private string? Unfound(string original, int seed, Pourwright.Evidence.Sealing.Seal kept)
    {
        var (path, what, isRelinked) = Tampered(original, seed);
        return RecordedStudio.Faults(path, isRelinked ? kept : null).Count > 0 ? null : $"{seed}: {what}";
    }

    private (string Path, string What, bool IsRelinked) Tampered(string original, int seed)
    {
        var copy = Path.Combine(Studio.Harness.Folder, "tampered.db");
        File.Copy(original, copy, overwrite: true);
        using var tampering = new Tampering(copy, seed);
        var (what, isRelinked) = tampering.Apply();
        return (copy, what, isRelinked);
    }

    private long Count(string sql) => Studio.Harness.Reads.Read(session => session.Scalar<long>(sql));

    private static void Alter(string path, string sql)
    {
        using var file = new SqliteConnection($"Data Source={path};Pooling=False;Foreign Keys=False");
        file.Open();
        using var command = file.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }
}
