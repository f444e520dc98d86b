using System.Globalization;
using System.Xml.Linq;
using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using PdfSharp.Pdf.IO;
using Pourwright.Testing;
using Pourwright.V1;
using SkiaSharp;
using static Pourwright.Studio.Tests.Trace.TwoSites;
using Format = Pourwright.V1.PrintTraceRequest.Types.Format;

namespace Pourwright.Studio.Tests.Trace;

public sealed class TraceServiceTests(TwoSites story) : IClassFixture<TwoSites>
{
    private readonly V1.TraceService.TraceServiceClient _traces = new(story.Harness.Channel);

    [Fact]
    public async Task TracePiece_TwoPoursAroundATopUp_HasOneLotInTheFirstAndBothInTheSecond()
    {
        var trace = await TraceAsync(One);

        Assert.Equal(["studios/alder/mixes/before", "studios/alder/mixes/after"], trace.Pours.Select(pour => pour.Mix.Name));
        Assert.Equal([Old], ResinLots(trace.Pours[0]));
        Assert.Equal([Old, New], ResinLots(trace.Pours[1]));
    }

    [Fact]
    public async Task TracePiece_DecantedAfterTheTopUp_HasBothLots() =>
        Assert.Equal([Old, New], ResinLots(Assert.Single((await TraceAsync(Three)).Pours)));

    [Fact]
    public async Task TracePiece_ClimateWithAGap_LeavesTheGapOut()
    {
        var climate = (await TraceAsync(One)).ClimateThroughCure;

        // Readings every hour, 20 °C from 0 to 6 h and 14 °C from 16 to 24 h; demolded at 24 h. Between 6 h and 16 h nothing is known.
        // Mean over what is known: (6 h · 20 °C + 8 h · 14 °C) / 14 h = 16.571 °C; below 15 °C for the 8 h.
        Assert.Equal(24, (climate.EndTime - climate.StartTime).ToTimeSpan().TotalHours);
        Assert.Equal((14, 20), (climate.MinTemperatureCelsius, climate.MaxTemperatureCelsius));
        Assert.Equal((6 * 20 + 8 * 14) / 14.0, climate.MeanTemperatureCelsius, 9);
        Assert.Equal(TimeSpan.FromHours(8), climate.BelowMinimumDuration.ToTimeSpan());
        var gap = Assert.Single(climate.Gaps);
        Assert.Equal((At(6), At(16)), (gap.StartTime, gap.EndTime));
    }

    [Fact]
    public async Task TracePiece_MissingFacts_AreNamedOneSentenceEach()
    {
        var trace = await TraceAsync(One);

        Assert.Contains("No scale was recorded for mix before.", trace.Unknowns);
        Assert.DoesNotContain("No scale was recorded for mix after.", trace.Unknowns);
        // 09:00 in Lisbon is 09:00 UTC in winter; 6 h and 16 h later.
        Assert.Contains("No readings between 6 Feb 2026 15:00 +00:00 and 7 Feb 2026 01:00 +00:00.", trace.Unknowns);
        Assert.Contains("No wood moisture was recorded.", trace.Unknowns);
    }

    [Fact]
    public async Task TracePiece_NoReadingsAtItsSite_ClaimsNothingOfTheClimate()
    {
        var trace = await TraceAsync(Three);

        Assert.Equal(0, trace.ClimateThroughCure.ReadingCount);
        Assert.False(trace.ClimateThroughCure.HasMinTemperatureCelsius);
        Assert.Contains(trace.Unknowns, sentence => sentence.StartsWith("No readings within half an hour of pour ", StringComparison.Ordinal));
    }

    [Fact]
    public async Task TracePiece_Sisters_StandUnderEachFactorTheyShare()
    {
        var sisters = (await TraceAsync(One)).Sisters.ToDictionary(factor => (factor.Kind, factor.Value.Split('/')[^1]));

        Assert.Equal("two: 1", Shared(sisters[("mix", "before")]));
        Assert.Equal(": 0", Shared(sisters[("mix", "after")]));
        Assert.Equal("two: 1", Shared(sisters[("container", "deep-a1")]));
        // The jug came out of the container: piece three shares the lots, not the container that was drawn on.
        Assert.Equal("two three: 1", Shared(sisters[("lot", "deep-a-lot")]));
        Assert.Equal("three: 0", Shared(sisters[("lot", "new-a-lot")]));
        Assert.Equal("two: 1", Shared(sisters[("bench-day", "shelf 2026-02-06")]));
        Assert.Equal("two three: 1", Shared(sisters[("mixer", "Ivo")]));
        // South has a "scale 1" of its own.
        Assert.Equal(": 0", Shared(sisters[("scale", "scale 1")]));
    }

    [Fact]
    public async Task TraceLot_ToppedUpAndDecanted_AccountsForEveryGram()
    {
        var trace = await _traces.TraceLotAsync(new() { Name = New });

        // The container held 19 kg old and 6 kg new: 6/25 = 24 % new. After: 500 g of it are 120 g new in 710 g, half of which is
        // poured (60 g), a fifth thrown away (24 g), the rest left (36 g). South: 1000 g from the jug are 240 g new in 1420 g, half
        // of it poured (120 g), half left (120 g). In containers: 4000 g never used, 6000 − 1200 − 120 = 4680 g, 1200 − 240 = 960 g.
        Assert.Equal(
            new MassAccount
            {
                ReceivedMassMg = 10_000_000, PouredMassMg = 180_000, MixedMassMg = 156_000, DiscardedMassMg = 24_000, RemainingMassMg = 9_640_000,
            },
            trace.Account);
        Assert.Equal([(One, 60_000), (Three, 120_000)], trace.Holdings.Where(holding => holding.Holder.Contains("/pieces/", StringComparison.Ordinal))
            .Select(holding => (holding.Holder, holding.MassMg)));
    }

    [Fact]
    public async Task TraceLot_Pieces_SayWhereTheyAreAndWhoHasThem()
    {
        var trace = await _traces.TraceLotAsync(new() { Name = Old });

        Assert.Equal(
            [(One, "north", 0), (Three, "south", 0), (Two, "Ben", 1)],
            trace.Pieces.Select(piece => (piece.Piece.Name, piece.Holder, piece.Defects.Count)));
    }

    [Fact]
    public async Task PrintTrace_Text_FitsTheTerminalAndNamesTheLots()
    {
        var text = (await PrintAsync(One, Format.Text)).Data.ToStringUtf8();

        Assert.All(text.Split('\n'), line => Assert.True(line.Length <= 100, line));
        Assert.Contains("DEEP-A-LOT", text, StringComparison.Ordinal);
        Assert.Contains("NEW-A-LOT", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task PrintTrace_TextOfALot_SaysWhereItWent() => Assert.Contains(
        "Lot NEW-A-LOT, resin (A) from Harbour Supplies, went into 2 pieces at north and south;",
        (await PrintAsync(New, Format.Unspecified)).Data.ToStringUtf8(), StringComparison.Ordinal);

    [Fact]
    public async Task TraceLot_ContainersNeverWeighedBack_AreOwnedUpTo() => Assert.Contains(
        "Container jug-a was opened and never weighed back: its balance is by the book alone.",
        (await _traces.TraceLotAsync(new() { Name = New })).Unknowns);

    [Fact]
    public async Task TracePiece_DemoldedADayAfterThePour_StandsBesideItsForecast()
    {
        var demold = (await TraceAsync(One)).Gates.Single(gate => gate.Gate == Gate.Demold);

        Assert.NotNull(demold.LastForecast.SafeTime);
        Assert.Matches("^Demolded 7 Feb 2026 09:00 \\+00:00 by Ivo, .+ before the safe time\\. No touch test before it\\.$", demold.Observation);
    }

    [Theory]
    [InlineData(One)]
    [InlineData(New)]
    public async Task PrintTrace_Json_IsTheMessage(string name)
    {
        var body = await PrintAsync(name, Format.Json);
        IMessage traced = name == One ? await TraceAsync(name) : await _traces.TraceLotAsync(new() { Name = name });

        Assert.Equal("application/json", body.ContentType);
        Assert.Equal(traced, JsonParser.Default.Parse(body.Data.ToStringUtf8(), traced.Descriptor));
    }

    [Theory]
    [InlineData(One, "Piece 1 · one")]
    [InlineData(New, "Lot NEW-A-LOT · new-a-lot")]
    public async Task PrintTrace_Pdf_OpensAndCarriesItsTitle(string name, string title)
    {
        var body = await PrintAsync(name, Format.Pdf);
        using var document = PdfReader.Open(new MemoryStream(body.Data.ToByteArray()), PdfDocumentOpenMode.Import);

        Assert.Equal("application/pdf", body.ContentType);
        Assert.Equal(title, document.Info.Title);
        Assert.True(document.PageCount >= 1);
    }

    [Fact]
    public async Task PrintTrace_OverHttp_IsThePageItself()
    {
        using var http = story.Harness.OpenHttp();

        using var response = await http.GetAsync(new Uri($"/v1/{New}:print?format=FORMAT_TEXT", UriKind.Relative));

        Assert.Equal("text/plain", response.Content.Headers.ContentType?.MediaType);
        Assert.StartsWith("ALDER · TRACE OF A LOT", await response.Content.ReadAsStringAsync(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("studios/alder/pieces/nobody", StatusCode.NotFound, "PIECE_NOT_FOUND")]
    [InlineData("studios/alder/lots/nobody", StatusCode.NotFound, "LOT_NOT_FOUND")]
    [InlineData("studios/alder/mixes/before", StatusCode.InvalidArgument, "FIELD_INVALID")]
    public async Task PrintTrace_OfNothing_IsRefused(string name, StatusCode code, string reason)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(() => PrintAsync(name, Format.Text));

        Assert.Equal((code, reason), (refusal.StatusCode, refusal.Reason()));
    }

    [Fact]
    public async Task DrawCure_Svg_NamesThePieceItsGatesAndTheirSafeTimes()
    {
        var body = await _traces.DrawCureAsync(new() { Name = One });
        var texts = XDocument.Parse(body.Data.ToStringUtf8()).Descendants().Where(element => element.Name.LocalName == "text").Select(text => text.Value).ToList();
        var forecast = (await TraceAsync(One)).Forecast;

        Assert.Equal("image/svg+xml", body.ContentType);
        Assert.Contains("Piece 1 · one", texts);
        Assert.Contains(texts, text => text.StartsWith($"Forecast {forecast.Name.Split('/')[^1]} of ", StringComparison.Ordinal));
        foreach (var (gate, word) in new[] { (Gate.Gel, "gel"), (Gate.Demold, "demold"), (Gate.Handle, "handle"), (Gate.Sand, "sand") })
        {
            // Lisbon is on UTC in winter.
            var safe = forecast.Gates.Single(each => each.Gate == gate).SafeTime?.ToDateTime().ToString("d MMM HH:mm", CultureInfo.InvariantCulture);
            Assert.Contains(safe is null ? $"{word}: no safe time without warmth" : $"{word}: safe {safe}", texts);
        }
    }

    [Fact]
    public async Task DrawCure_Png_HasTheAskedWidth()
    {
        var body = await _traces.DrawCureAsync(new() { Name = One, Format = DrawCureRequest.Types.Format.Png, WidthPx = 640 });
        using var picture = SKBitmap.Decode(body.Data.ToByteArray());

        Assert.Equal("image/png", body.ContentType);
        Assert.Equal(640, picture.Width);
    }

    [Fact]
    public async Task DrawCure_OverHttp_IsThePictureItself()
    {
        using var http = story.Harness.OpenHttp();

        using var response = await http.GetAsync(new Uri($"/v1/{One}:draw?width_px=800", UriKind.Relative));

        Assert.Equal("image/svg+xml", response.Content.Headers.ContentType?.MediaType);
        Assert.Equal("800", XDocument.Parse(await response.Content.ReadAsStringAsync()).Root!.Attribute("width")!.Value);
    }

    [Theory]
    [InlineData("studios/alder/pieces/nobody", 0, 0, StatusCode.NotFound, "PIECE_NOT_FOUND")]
    [InlineData(New, 0, 0, StatusCode.InvalidArgument, "FIELD_INVALID")]
    [InlineData(One, 3, 0, StatusCode.InvalidArgument, "FIELD_INVALID")]
    [InlineData(One, 0, 399, StatusCode.InvalidArgument, "FIELD_INVALID")]
    [InlineData(One, 0, 4001, StatusCode.InvalidArgument, "FIELD_INVALID")]
    public async Task DrawCure_OfNothingOrOutOfItsLimits_IsRefused(string name, int format, int widthPx, StatusCode code, string reason)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () =>
            await _traces.DrawCureAsync(new() { Name = name, Format = (DrawCureRequest.Types.Format)format, WidthPx = widthPx }));

        Assert.Equal((code, reason), (refusal.StatusCode, refusal.Reason()));
    }

    [Fact]
    public async Task DrawCure_BeforeTheFirstPour_IsRefused()
    {
        var piece = await new V1.PieceService.PieceServiceClient(story.Harness.Channel).CreatePieceAsync(
            new() { Parent = SampleStudio.Name, PieceId = "empty", Piece = new() { Site = SampleStudio.North, Label = "0" } });

        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await _traces.DrawCureAsync(new() { Name = piece.Name }));

        Assert.Equal((StatusCode.FailedPrecondition, "PIECE_NOT_POURED"), (refusal.StatusCode, refusal.Reason()));
    }

    private async Task<PieceTrace> TraceAsync(string piece) => await _traces.TracePieceAsync(new() { Name = piece });

    private async Task<Google.Api.HttpBody> PrintAsync(string name, Format format) => await _traces.PrintTraceAsync(new() { Name = name, Format = format });

    private static IEnumerable<string> ResinLots(PourTrace pour) =>
        pour.Draws.Where(draw => draw.Part == Part.A).SelectMany(draw => draw.Lots).Select(lot => lot.Name);

    private static string Shared(SharedFactor factor) =>
        $"{string.Join(' ', factor.Pieces.Select(piece => piece.Split('/')[^1]))}: {factor.DefectCount}";
}
