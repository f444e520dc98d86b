using CsCheck;
using Pourwright.Cure.DataSheets;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.DataSheets;

/// <summary>Whatever a maker prints or leaves out: a model that can be asked, or a refusal that names two figures.</summary>
/// <remarks>Twenty a run; the environment variable CsCheck_Iter sets more.</remarks>
public class AnySheetTests
{
    private static readonly long Runs =
        long.TryParse(Environment.GetEnvironmentVariable("CsCheck_Iter"), out var wanted) ? wanted : 20;

    private static readonly Gen<double> Room = Gen.Double[15, 30];

    private static readonly Gen<Vessel> Vessels = Gen.OneOf(Gen.Const(Vessel.Cup), Gen.Const(Vessel.Tray));

    // A factor of two or so about what resins do: some sheets hold together, some do not.
    private static readonly Gen<SheetFigure>[] Kinds =
    [
        Gen.Select(Gen.Double[2, 12], Gen.Long[100_000, 3_000_000], Vessels, Room,
            (hours, mass, vessel, room) => (SheetFigure)new PotLife(hours, mass, vessel, room)),
        Gen.Select(Gen.Double[8, 40], Room, (hours, room) => (SheetFigure)new GelTime(hours, room)),
        Gen.Select(Gen.Double[8, 40], Room, (hours, room) => (SheetFigure)new GelTime(hours, room)),
        Gen.Select(Gen.Double[20, 90], Gen.Double[5, 50], Room,
            (hours, depth, room) => (SheetFigure)new DemoldTime(hours, depth, room)),
        Gen.Select(Gen.Double[15, 60], Room, (depth, room) => (SheetFigure)new MaximumDepth(depth, room)),
        Gen.Select(Gen.Double[72, 240], Room, (hours, room) => (SheetFigure)new FullCureTime(hours, room)),
        Gen.Select(Gen.Double[2, 40], Gen.Double[10, 50], Room,
            (rise, depth, room) => (SheetFigure)new MeasuredPeak(room + rise, depth, room)),
    ];

    private static readonly Gen<DataSheet> AnySheet = Gen.Select(
        Gen.OneOf(Gen.Const(CureClass.DeepCasting), Gen.Const(CureClass.FastCoating)),
        Gen.Int[0, (1 << Kinds.Length) - 1],
        Gen.Select(Kinds[0], Kinds[1], Kinds[2], Kinds[3], Kinds[4], Kinds[5], Kinds[6]),
        Gen.Bool,
        (cureClass, chosen, all, weights) => new DataSheet
        {
            Version = "any",
            CureClass = cureClass,
            Figures =
            [
                .. new[] { all.Item1, all.Item2, all.Item3, all.Item4, all.Item5, all.Item6, all.Item7 }
                    .Where((_, i) => (chosen >> i & 1) == 1),
            ],
            EpoxideEquivalentGramsPerMole = weights ? 190 : null,
            AmineHydrogenEquivalentGramsPerMole = weights ? 90 : null,
        });

    [Fact]
    public void Calibration_OfAnySubsetOfFigures_IsFiniteRepeatableAndUsable()
    {
        AnySheet.Sample(sheet =>
        {
            var (once, twice) = (Calibrated(sheet, out var refusal), Calibrated(sheet, out var secondRefusal));
            Assert.Equal(refusal?.Message, secondRefusal?.Message);
            if (once is null || twice is null)
            {
                Assert.Empty(new[] { refusal!.First.Figure, refusal.Second.Figure }.Except(sheet.Figures));
                return;
            }
            Assert.Equal(once.Parameters, twice.Parameters);
            Assert.Equal(once.Model, twice.Model);
            Assert.Equal(sheet.Figures, once.Figures.Select(f => f.Figure));
            Assert.All(once.Figures, f => Assert.True(double.IsFinite(f.Residual + f.Misfit) && f.Modelled > 0));
            Assert.All(once.Parameters, p => Assert.InRange(p.StillPrior, 0.01, 1 + 1e-9));
            Assert.All(once.Parameters, p => Assert.True(double.IsFinite(p.Fitted)));
            var forecast = LadderForecaster.Forecast(Pieces.Of(once.Model, 10, 20), new CureSpread { Draws = 8 });
            Assert.Equal(once.Model.Revision, forecast.ModelRevision);
        }, iter: Runs, print: sheet => $"{sheet.CureClass}: {string.Join(", ", sheet.Figures)}");
    }

    // Long gel and demold times of a quick resin ask for an order beyond 3, for which the engine does not answer.
    [Fact]
    public void Calibration_WantingAnOrderBeyondTheEngine_StandsAtItsEdge_AndCanBeForecast()
    {
        var fitted = SheetCalibrator.Calibrate(Sheets.Of(
            CureClass.FastCoating, new PotLife(4, 1_101_735, Vessel.Tray, 16), new GelTime(28, 25), new DemoldTime(76.9, 23.9, 24.3)));
        Assert.Equal(3, fitted[CureParameter.Order].Fitted);
        var forecast = LadderForecaster.Forecast(Pieces.Of(fitted.Model, 10, 20), new CureSpread { Draws = 8 });
        Assert.Equal(fitted.Model.Revision, forecast.ModelRevision);
    }

    // Each figure can only teach: no spread grows when one is added at the value that the model already gives.
    [Fact]
    public void Spreads_WithOneFigureMore_NeverGrow()
    {
        SheetFigure[] all =
        [
            Sheets.Gel(Sheets.Deep, 23), Sheets.Full(Sheets.Deep, 23), Sheets.Demold(Sheets.Deep, 40, 20),
            Sheets.Pot(Sheets.Deep, 500_000, 20), Sheets.Peak(Sheets.Deep, 40, 20), new MaximumDepth(40, 20),
        ];
        var fits = Enumerable.Range(0, all.Length + 1).Select(n => SheetCalibrator.Calibrate(Sheets.Of(all[..n]))).ToArray();
        foreach (var (fewer, more) in fits.SkipLast(1).Zip(fits.Skip(1)))
            foreach (var (before, after) in fewer.Parameters.Zip(more.Parameters))
                Assert.InRange(after.PosteriorSpread, 0, before.PosteriorSpread * 1.02);
    }

    private static SheetCalibration? Calibrated(DataSheet sheet, out ContradictorySheetException? refusal)
    {
        refusal = null;
        try
        {
            return SheetCalibrator.Calibrate(sheet);
        }
        catch (ContradictorySheetException contradiction)
        {
            refusal = contradiction;
            return null;
        }
    }
}
