using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Step.Types.Kind;
using PieceState = Pourwright.V1.Piece.Types.State;
using Touch = Pourwright.V1.Check.Types.Touch;

namespace Pourwright.Studio.Tests.Pieces;

public sealed class PieceServiceTests : IAsyncLifetime
{
    private readonly PieceStudio _studio = new();

    private V1.PieceService.PieceServiceClient Pieces => _studio.Pieces;

    public Task InitializeAsync() => _studio.InitializeAsync();

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task CreatePiece_SiteAndLabelAlone_IsPreparedAndStandsNowhere()
    {
        var piece = await Pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, Piece = new() { Site = SampleStudio.North, Label = "7" } });

        Assert.Equal((PieceState.Prepared, ""), (piece.State, piece.Bench));
        Assert.StartsWith("studios/alder/pieces/piece-", piece.Name, StringComparison.Ordinal);
        Assert.Equal(piece, await Pieces.GetPieceAsync(new() { Name = piece.Name }));
    }

    [Fact]
    public async Task CreatePiece_AllThatIsSaid_ComesBack()
    {
        var said = new Piece
        {
            Site = SampleStudio.North,
            Label = "7",
            Maker = "Anna",
            CastingClass = "River boards, February",
            Mould = "Tray 3",
            WoodSpecies = "Elm",
            WoodMoisturePercent = 9.5,
            PlannedSessionTime = Timestamp.FromDateTimeOffset(PieceStudio.Now.AddDays(7)),
        };
        await Pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = "annas-board", Piece = said });

        var piece = await Pieces.GetPieceAsync(new() { Name = PieceStudio.PieceNamed("annas-board") });

        said.Name = PieceStudio.PieceNamed("annas-board");
        said.State = PieceState.Prepared;
        Assert.Equal(said, piece);
    }

    [Fact]
    public async Task RecordPour_First_TakesItsMassAndStartsTheCure()
    {
        var before = await MixLeftAsync();
        var pour = await Pieces.RecordPourAsync(PieceStudio.Pour("prepared", 250_000));

        Assert.Equal((1, 0), (pour.LayerCount, pour.Cautions.Count));
        Assert.Equal(before - 250_000, await MixLeftAsync());
        var piece = await Pieces.GetPieceAsync(new() { Name = PieceStudio.PieceNamed("prepared") });
        Assert.Equal((PieceState.Curing, SampleStudio.NorthBench), (piece.State, piece.Bench));
        Assert.Equal(pour, await Pieces.GetPourAsync(new() { Name = pour.Name }));
    }

    [Fact]
    public async Task RecordPour_TimeAbsent_IsNow()
    {
        var request = PieceStudio.Pour("prepared");
        request.Pour.PourTime = null;

        Assert.Equal(PieceStudio.Now, (await Pieces.RecordPourAsync(request)).PourTime.ToDateTimeOffset());
    }

    [Fact]
    public async Task RecordPour_ValidateOnly_KeepsNothing()
    {
        var (rows, left) = (_studio.RowCount(), await MixLeftAsync());
        var request = PieceStudio.Pour("prepared");
        request.ValidateOnly = true;

        Assert.Equal(1, (await Pieces.RecordPourAsync(request)).LayerCount);

        Assert.Equal((rows, left), (_studio.RowCount(), await MixLeftAsync()));
        Assert.Equal(PieceState.Prepared, (await Pieces.GetPieceAsync(new() { Name = PieceStudio.PieceNamed("prepared") })).State);
    }

    [Fact]
    public async Task RecordPour_ValidateOnlyOfAMissingMass_IsRefusedAlike()
    {
        var request = PieceStudio.Pour("prepared", 5_000_000);
        request.ValidateOnly = true;

        Assert.Equal(Reasons.MixShort, (await Assert.ThrowsAsync<RpcException>(() => Pieces.RecordPourAsync(request).ResponseAsync)).Reason());
    }

    [Fact]
    public async Task RecordPour_RepeatedWithTheSameRequestId_IsPouredOnce()
    {
        var left = await MixLeftAsync();
        var request = PieceStudio.Pour("prepared");
        request.RequestId = Guid.NewGuid().ToString();

        var first = await Pieces.RecordPourAsync(request);
        var second = await Pieces.RecordPourAsync(request);

        Assert.Equal(first, second);
        Assert.Equal(left - 100_000, await MixLeftAsync());
        Assert.Single((await Pieces.ListPoursAsync(new() { Parent = request.Parent })).Pours);
    }

    [Fact]
    public async Task RecordPour_ManyAtOnce_NeverOverdrawTheMix()
    {
        // 710 g: two pours of 300 g fit, 110 g stay.
        await _studio.MixAsync("small", 500_000);
        var pours = Enumerable.Range(0, 8).Select(async _ =>
        {
            var request = PieceStudio.Pour("prepared", 300_000);
            request.Pour.Mix = "studios/alder/mixes/small";
            try
            {
                await Pieces.RecordPourAsync(request);
                return "poured";
            }
            catch (RpcException refusal)
            {
                return refusal.Reason();
            }
        });

        var answers = await Task.WhenAll(pours);

        Assert.Equal((2, 6), (answers.Count(answer => answer == "poured"), answers.Count(answer => answer == Reasons.MixShort)));
        Assert.Equal(110_000, (await _studio.Mixes.GetMixAsync(new() { Name = "studios/alder/mixes/small" })).RemainingMassMg);
    }

    [Fact]
    public async Task RecordPour_Message_IsSavedWithThePourOrNotAtAll()
    {
        var before = _studio.OutboxCount(nameof(PourRecorded));
        await Assert.ThrowsAsync<InvalidOperationException>(() => _studio.Harness.Writer.WriteAsync<bool>(tx =>
        {
            var piece = PieceStore.GetPiece(tx, PieceStudio.PieceNamed("prepared"));
            var poured = PieceStore.GetPours(tx, PieceStudio.PieceNamed("curing"))[0] with { Name = $"{piece.Name}/pours/undone", Piece = piece.Name };
            PieceStore.SavePour(tx, new(poured, piece));
            throw new InvalidOperationException("The power fails here.");
        }));
        Assert.Equal(before, _studio.OutboxCount(nameof(PourRecorded)));
        Assert.Empty((await Pieces.ListPoursAsync(new() { Parent = PieceStudio.PieceNamed("prepared") })).Pours);

        var pour = await Pieces.RecordPourAsync(PieceStudio.Pour("prepared"));

        Assert.Equal(before + 1, _studio.OutboxCount(nameof(PourRecorded)));
        Assert.Contains(pour.Name, LastMessage(nameof(PourRecorded)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task RecordPour_ColdSurfaceInDampAir_IsAcceptedWithTheDewPoint()
    {
        // 20 °C and 80 %: dew point 16.4 °C (Magnus form, coefficients of WMO No. 8); 19.0 − 16.4 = 2.6, less than the margin of 3.
        await RecordReadingAsync(PieceStudio.PourTime.AddMinutes(-10), 80);
        var request = PieceStudio.Pour("prepared");
        request.Pour.SurfaceTemperatureCelsius = 19;

        var caution = Assert.Single((await Pieces.RecordPourAsync(request)).Cautions);

        Assert.Equal((Reasons.SurfaceNearDewPoint, "16.4"), (caution.Reason, caution.Facts["dew_point_celsius"]));
    }

    [Theory]
    // The logger reports every hour: three hours and a second before the pour it counts as silent.
    [InlineData(-10_800, true)]
    [InlineData(-10_801, false)]
    [InlineData(0, true)]
    [InlineData(1, false)]
    public async Task FindAir_ByTheAgeOfTheReading_IsKnownOrNot(int secondsFromPour, bool known)
    {
        await RecordReadingAsync(PieceStudio.PourTime.AddSeconds(secondsFromPour), 80);

        var air = _studio.Harness.Reads.Read(session =>
            PieceStore.FindAir(session, SiteStore.GetBench(session, SampleStudio.NorthBench), PieceStudio.PourTime.ToUnixMs()));

        Assert.Equal(known, air is not null);
    }

    [Fact]
    public async Task ListPours_PageByPage_RunsFirstToLast()
    {
        for (var layer = 1; layer <= 3; layer++) await Pieces.RecordPourAsync(PieceStudio.Pour("prepared", layer * 1_000));

        var first = await Pieces.ListPoursAsync(new() { Parent = PieceStudio.PieceNamed("prepared"), PageSize = 2 });
        var last = await Pieces.ListPoursAsync(new() { Parent = PieceStudio.PieceNamed("prepared"), PageSize = 2, PageToken = first.NextPageToken });

        Assert.Equal([1, 2, 3], first.Pours.Concat(last.Pours).Select(pour => pour.LayerCount));
        Assert.Equal((true, ""), (first.NextPageToken.Length > 0, last.NextPageToken));
    }

    [Fact]
    public async Task ListPieces_BySiteAndState_RunsById()
    {
        var all = await Pieces.ListPiecesAsync(new() { Parent = SampleStudio.Name });
        var north = await Pieces.ListPiecesAsync(new() { Parent = SampleStudio.Name, Site = SampleStudio.North, State = PieceState.Prepared });

        Assert.Equal(["curing", "demolded", "given", "prepared", "scrapped", "southern"], all.Pieces.Select(piece => piece.Label));
        Assert.Equal("prepared", Assert.Single(north.Pieces).Label);
    }

    [Fact]
    public async Task ListSteps_OfOneInstant_RunAsTheyWereWrittenDown()
    {
        // Demolded at 11:00; the other four are told for 11:00 as well, and are written down a millisecond apart.
        foreach (var kind in new[] { Kind.Saw, Kind.Plane, Kind.Sand, Kind.Finish })
        {
            _studio.Harness.Clock.Advance(TimeSpan.FromMilliseconds(1));
            var request = PieceStudio.Step("demolded", kind);
            request.Step.StepTime = Timestamp.FromDateTimeOffset(PieceStudio.Now);
            await Pieces.RecordStepAsync(request);
        }

        var seen = new List<Kind>();
        var page = new ListStepsResponse();
        do
        {
            page = await Pieces.ListStepsAsync(new() { Parent = PieceStudio.PieceNamed("demolded"), PageSize = 2, PageToken = page.NextPageToken });
            seen.AddRange(page.Steps.Select(step => step.Kind));
        } while (page.NextPageToken.Length > 0);

        Assert.Equal([Kind.Demold, Kind.Saw, Kind.Plane, Kind.Sand, Kind.Finish], seen);
    }

    [Fact]
    public async Task RecordCheck_OnAPieceGivenAway_IsWelcomeAndTold()
    {
        var before = _studio.OutboxCount(nameof(CheckRecorded));
        var request = PieceStudio.Check("given");
        request.Check.ShoreD = 62;
        request.Check.Note = "Dents beside the river, three months later";

        var check = await Pieces.RecordCheckAsync(request);

        Assert.Equal(check, Assert.Single((await Pieces.ListChecksAsync(new() { Parent = request.Parent })).Checks));
        Assert.Equal((Touch.Firm, 62, false), (check.Touch, check.ShoreD, check.HasThicknessMm));
        Assert.Equal(before + 1, _studio.OutboxCount(nameof(CheckRecorded)));
    }

    [Fact]
    public async Task RecordStep_Move_CarriesThePieceAndTellsIt()
    {
        await new V1.SiteService.SiteServiceClient(_studio.Harness.Channel).CreateBenchAsync(
            new() { Parent = SampleStudio.North, BenchId = "warm-box", Bench = new() { DisplayName = "Warm box" } });
        var request = PieceStudio.Step("curing", Kind.Move);
        request.Step.Bench = $"{SampleStudio.North}/benches/warm-box";

        var step = await Pieces.RecordStepAsync(request);

        Assert.Empty(step.Cautions);
        Assert.Equal(request.Step.Bench, (await Pieces.GetPieceAsync(new() { Name = request.Parent })).Bench);
        Assert.Contains(request.Step.Bench, LastMessage(nameof(PieceMoved)), StringComparison.Ordinal);
        Assert.Contains(step.Name, LastMessage(nameof(StepRecorded)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task RecordStep_SandingAPieceThatIsNotReady_IsKeptWithBothCautions()
    {
        var request = PieceStudio.Step("demolded", Kind.Sand);
        request.ValidateOnly = true;
        var asked = await Pieces.RecordStepAsync(request);
        request.ValidateOnly = false;
        var done = await Pieces.RecordStepAsync(request);

        Assert.Equal([Reasons.GateNotReached, Reasons.UncuredDust], asked.Cautions.Select(caution => caution.Reason));
        Assert.Equal(asked.Cautions, done.Cautions);
        Assert.Equal(2, (await Pieces.ListStepsAsync(new() { Parent = request.Parent })).Steps.Count);
    }

    [Fact]
    public async Task FindGates_OfSeveralForecasts_AreThoseOfTheNewest()
    {
        var (piece, nowMs) = (PieceStudio.PieceNamed("curing"), PieceStudio.Now.ToUnixMs());
        Assert.Null(_studio.Harness.Reads.Read(session => PieceStore.FindGates(session, piece)));
        await _studio.Harness.Writer.WriteAsync(tx => Forecast(tx, piece, 1, 1000, nowMs) + Forecast(tx, piece, 2, 2000, nowMs));

        var gates = _studio.Harness.Reads.Read(session => PieceStore.FindGates(session, piece))!;

        Assert.Equal((new(2001, 2002), new(2003, 2004), new(2005, null)), (gates[Gate.Gel], gates[Gate.Demold], gates[Gate.Handle]));
    }

    [Theory]
    [InlineData(-1, false)]
    [InlineData(0, true)]
    public async Task FindGates_OfAForecastAsOldAsThePour_KnowItOrCountForNothing(int msAfterThePour, bool counts)
    {
        // Written down at 11:00. A forecast of the layer below says nothing of the fresh one.
        var (piece, recordMs) = (PieceStudio.PieceNamed("curing"), PieceStudio.Now.ToUnixMs());
        await _studio.Harness.Writer.WriteAsync(tx => Forecast(tx, piece, 1, 1000, recordMs + msAfterThePour));

        Assert.Equal(counts, _studio.Harness.Reads.Read(session => PieceStore.FindGates(session, piece)) is not null);
    }

    private static int Forecast(StudioTransaction tx, string piece, int revision, long ms, long forecastMs) => tx.ExecuteCounted(
        """
        INSERT INTO forecasts (piece, revision, forecast_ms, cause, model_revision, pour_ms, gel_earliest_ms, gel_safe_ms,
                               demold_earliest_ms, demold_safe_ms, handle_earliest_ms, peak_low_celsius, peak_likely_celsius,
                               peak_high_celsius, peak_likely_offset_ms, runaway_margin_ratio, gap_ms, room_assumption, cautions, course)
        VALUES (@piece, @revision, @forecastMs, 1, 'x', 0, @ms + 1, @ms + 2, @ms + 3, @ms + 4, @ms + 5, 20, 20, 20, 0, 1, 0, '', '[]', '[]')
        """,
        new { piece, revision, ms, forecastMs });

    private async Task<long> MixLeftAsync() => (await _studio.Mixes.GetMixAsync(new() { Name = PieceStudio.Mix })).RemainingMassMg;

    private async Task RecordReadingAsync(DateTimeOffset at, double humidityPercent) =>
        await new V1.ClimateService.ClimateServiceClient(_studio.Harness.Channel).RecordReadingsAsync(new()
        {
            Parent = SampleStudio.North,
            Readings =
            {
                new Reading
                {
                    Sensor = SampleStudio.NorthSensor,
                    ReadingTime = Timestamp.FromDateTimeOffset(at),
                    TemperatureCelsius = 20,
                    RelativeHumidityPercent = humidityPercent,
                },
            },
        });

    private string LastMessage(string kind) => _studio.Harness.Reads.Read(session => session.Scalar<string>(
        "SELECT body FROM outbox WHERE kind = @kind ORDER BY sequence DESC LIMIT 1", new { kind }));
}
