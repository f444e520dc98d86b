using System.Text.Json.Nodes;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Evidence.Epcis;
using Pourwright.Evidence.Tests.Epcis;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;
using Format = Pourwright.V1.ExportRecordsRequest.Types.Format;

namespace Pourwright.Studio.Tests.Exports;

public sealed class ExportLimitsTests
{
    /// <summary>A client takes messages of 4 MB unless told; parts of 64 KiB pass it, and so does a lot of any size.</summary>
    [Fact]
    public async Task Epcis_LotOfThreeThousandPieces_PassesInSmallParts()
    {
        var studio = new ExportedStudio();
        await studio.InitializeAsync();
        await studio.Harness.Writer.WriteAsync(tx => tx.Execute(
            """
            WITH RECURSIVE numbers (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM numbers WHERE n < 3000)
            INSERT INTO pieces (name, studio, site, label, maker, casting_class, mould, wood_species, state)
            SELECT 'studios/alder/pieces/many-' || n, 'studios/alder', 'studios/alder/sites/north', n, '', '', '', '', 2 FROM numbers
            """), CancellationToken.None);
        await studio.Harness.Writer.WriteAsync(tx => tx.Execute(
            """
            INSERT INTO pours (name, piece, mix, bench, mass_mg, depth_mm, pour_ms, pourer, deviation_reason, layer_count, cautions, record_ms)
            SELECT name || '/pours/one', name, 'studios/alder/mixes/after', 'studios/alder/sites/north/benches/shelf', 1, 1, @at, 'Ana', '', 1, '[]', @at
              FROM pieces WHERE name LIKE '%/many-%'
            """,
            new { at = StudioHarness.Start.AddHours(4).ToUnixTimeMilliseconds() }), CancellationToken.None);

        var (document, summary, longest) = await studio.ExportAsync(new() { Parent = SampleStudio.Name, Format = Format.Epcis, Lot = ExportedStudio.NewLot });

        await studio.DisposeAsync();
        Assert.True(summary.EventCount > 3000);
        Assert.Empty(summary.Warnings);
        Assert.InRange(longest, 1, 65 * 1024);
        Assert.Equal(summary.ByteSize, document.Length);
    }

    /// <summary>A mix that is said to be older than the top-up it drew from: one of the two times is wrong, and the answer says so.</summary>
    [Theory]
    [InlineData(Format.Epcis)]
    [InlineData(Format.Csv)]
    public async Task Export_MixSaidToBeOlderThanItsTopUp_IsToldWithAWarning(Format format)
    {
        var studio = new ExportedStudio();
        await studio.InitializeAsync();
        await studio.MixAsync("late", SampleStudio.North, "deep-a1", "deep-b1", 100_000, Timestamp.FromDateTimeOffset(StudioHarness.Start.AddMinutes(30)));

        var (_, summary, _) = await studio.ExportAsync(new() { Parent = SampleStudio.Name, Format = format });

        await studio.DisposeAsync();
        Assert.Equal(1, summary.WarningCount);
        Assert.EndsWith(
            "https://studio.example.org/v1/studios/alder/containers/deep-a1#contents-2 is used at 2026-02-06T09:30:00.000+00:00, before it was made: one of the two times is wrong.",
            Assert.Single(summary.Warnings), StringComparison.Ordinal);
    }

    /// <summary>A person's hold and its end are a hold; what a declared recall holds is recalled, and a drill is neither.</summary>
    [Fact]
    public async Task Epcis_PieceThatAPersonAndARecallHold_IsHeldThenRecalledThenFree()
    {
        var studio = new ExportedStudio();
        await studio.InitializeAsync();
        var hold = new { recall = "studios/alder/recalls/rec-1", lot = ExportedStudio.OldLot, piece = ExportedStudio.Three, at = StudioHarness.Start.AddDays(3).ToUnixTimeMilliseconds() };
        await studio.Harness.Writer.WriteAsync(tx =>
        {
            tx.Execute(
                """
                INSERT INTO recalls (name, studio, drill, scope, reason, starter, start_ms, list_ms, piece_count, handed_over_count, stock_mass_mg, person_count, reachable_count, found)
                VALUES (@recall, 'studios/alder', 0, @lot, 'Ben', 'Olive', @at, @at, 1, 0, 0, 0, 0, '{}')
                """,
                hold);
            tx.Execute(
                """
                INSERT INTO piece_holds (piece, kind, cause, reason, person, event_ms)
                VALUES (@piece, 'held', '', 'Ben', 'Olive', @at), (@piece, 'held', @recall, 'Ben', 'Olive', @at + 1),
                       (@piece, 'released', '', 'Ben', 'Olive', @at + 2), (@piece, 'released', @recall, 'Ben', 'Olive', @at + 3)
                """,
                hold);
        });

        var (bytes, summary, _) = await studio.ExportAsync(
            new() { Parent = SampleStudio.Name, Format = Format.Epcis, Piece = ExportedStudio.Three, StartTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddDays(3)) });

        await studio.DisposeAsync();
        var document = JsonNode.Parse(bytes)!;
        JsonObject[] events = [.. document["epcisBody"]!["eventList"]!.AsArray().Select(told => told!.AsObject())];
        Assert.Empty(GsSchema.Objections(document));
        Assert.Empty(summary.Warnings);
        Assert.Equal(["holding non_sellable_other", "holding recalled", "releasing in_progress"], events.Select(told => $"{EpcisEvents.Step(told)} {told["disposition"]}"));
        Assert.Equal("rec-1", (string?)events[1]["pw:reason"]);
    }

    [Theory]
    [InlineData()]
    [InlineData("--Labels:Address=http://studio.example.org")]
    [InlineData("--Labels:Address=https://studio.example.org/resin")]
    public async Task Export_StudioWithoutAnAddressOfItsOwn_Refused(params string[] settings)
    {
        await using var harness = await StudioHarness.StartAsync(null, settings);
        await SampleStudio.CreateAsync(harness);
        await SampleStudio.ReceiveLotsAsync(harness);
        using var call = new V1.ExportService.ExportServiceClient(harness.Channel).ExportRecords(new() { Parent = SampleStudio.Name, Format = Format.Csv });

        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await call.ResponseStream.MoveNext());

        Assert.Equal((StatusCode.FailedPrecondition, Reasons.StudioAddressMissing), (refusal.StatusCode, refusal.Reason()));
    }
}
