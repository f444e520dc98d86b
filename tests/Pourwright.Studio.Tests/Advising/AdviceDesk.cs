using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.DataSheets;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Tests.Forecasts;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.V1.AskWhatIfRequest.Types;

namespace Pourwright.Studio.Tests.Advising;

/// <summary>Questions that tests vary. Friday 6 February 2026, 09:00 in Lisbon and UTC alike; a room at 20 °C.</summary>
internal static class AdviceDesk
{
    public static V1.AdviceService.AdviceServiceClient Advice(this CastingDesk desk) => new(desk.Harness.Channel);

    /// <summary>The casting resin of the sample studio as its data sheet is fitted.</summary>
    public static SheetCalibration Deep(this CastingDesk desk) =>
        new ResinModels().Of(desk.Harness.Reads.Read(session => ResinStore.GetResinSystem(session, SampleStudio.Deep)));

    public static PlanPourRequest Pour(double depthMm) => new()
    {
        ResinSystem = SampleStudio.Deep, Bench = SampleStudio.NorthBench, ResinTemperatureCelsius = 21, TotalDepthMm = depthMm,
    };

    public static AskWhatIfRequest OfPiece(double sessionAtHours) => new() { Piece = CastingDesk.Piece, SessionTime = At(sessionAtHours) };

    public static AskWhatIfRequest OfPour(double depthMm, double sessionAtHours) => new()
    {
        Pour = new()
        {
            ResinSystem = SampleStudio.Deep,
            Layers = { new PredictCureRequest.Types.Layer { DepthMm = depthMm, TemperatureCelsius = 20 } },
            Room = { new PredictCureRequest.Types.RoomPoint { TemperatureCelsius = 20 } },
        },
        Site = SampleStudio.North,
        SessionTime = At(sessionAtHours),
    };

    public static HoldRoom Hold(double celsius, double? fromHours = null) =>
        new() { TemperatureCelsius = celsius, FromTime = fromHours is { } from ? At(from) : null };

    public static PlanSecondDayRequest SecondDay(params double[] thicknessMm) => new()
    {
        Name = CastingDesk.Piece,
        ThicknessMm = { thicknessMm },
        TargetThicknessMm = 36,
        LengthMm = 400,
        WidthMm = 250,
        Cutter = PlanSecondDayRequest.Types.Cutter.HelicalHead,
    };

    /// <summary>Hours after <see cref="StudioHarness.Start"/>.</summary>
    public static Timestamp At(double hours) => Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(hours));

    /// <summary>Every row of every table.</summary>
    public static IReadOnlyList<string> Rows(this CastingDesk desk) => desk.Harness.Store.Rows();
}
