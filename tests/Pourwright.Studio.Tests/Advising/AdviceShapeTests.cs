using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Advising;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Tests.Forecasts;
using Pourwright.Testing;
using Pourwright.V1;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;
using Cutter = Pourwright.V1.PlanSecondDayRequest.Types.Cutter;

namespace Pourwright.Studio.Tests.Advising;

/// <summary>One case a line: what breaks its rule is refused with the path of its field, before the engine is asked.</summary>
public sealed class AdviceShapeTests
{
    private static readonly long StartMs = StudioHarness.Start.ToUnixMs();

    public static TheoryData<string, Action<PlanPourRequest>> Pours => new()
    {
        { "cure_class", request => request.CureClass = CureClass.DeepCasting },
        { "cure_class", request => request.ResinSystem = "" },
        { "room_temperature_celsius", request => request.RoomTemperatureCelsius = 20 },
        { "room_temperature_celsius", request => request.Bench = "" },
        { "bench", request => request.Bench = "studios/other/sites/north/benches/shelf" },
        { "resin_temperature_celsius", request => request.ResinTemperatureCelsius = 4 },
        { "total_depth_mm", request => request.TotalDepthMm = 0 },
        { "channel_width_mm", request => request.ChannelWidthMm = 4 },
        { "vessel.diameter_mm", request => request.Vessel = new() { DiameterMm = 20, HeightMm = 100 } },
        { "batch_mass_mg", request => request.BatchMassMg = 1_000_000 },
        { "working_duration", request => request.WorkingDuration = Hours(1) },
        { "first_pour_time", request => request.FirstPourTime = AdviceDesk.At(-1) },
        { "first_pour_time", request => request.FirstPourTime = AdviceDesk.At(367 * 24) },
    };

    [Theory]
    [MemberData(nameof(Pours))]
    public void PlanPour_Malformed_NamesTheField(string field, Action<PlanPourRequest> spoil)
    {
        var request = AdviceDesk.Pour(30);
        PlanPour.CheckShape(request, StartMs);
        spoil(request);
        AssertRefused(field, () => PlanPour.CheckShape(request, StartMs));
    }

    public static TheoryData<string, Action<PlanSecondDayRequest>> Days => new()
    {
        { "name", request => request.Name = "seven" },
        { "thickness_mm[0]", request => request.ThicknessMm[0] = 0 },
        { "target_thickness_mm", request => request.TargetThicknessMm = 0 },
        { "length_mm", request => request.LengthMm = 0 },
        { "width_mm", request => request.WidthMm = 0 },
        { "faces[0].length_mm", request => request.Faces.Add(new SandedFace { WidthMm = 20 }) },
        { "cutter", request => request.Cutter = Cutter.Unspecified },
        { "start_time", request => request.StartTime = new() { Seconds = 253_402_300_799 } },
        { "settings.pass_mm", request => request.Settings = new() { PassMm = 0 } },
        { "settings.grit", request => request.Settings = new() { Grit = { 8 } } },
        { "settings.router_sled_first_grit", request => request.Settings = new() { RouterSledFirstGrit = 6000 } },
        { "settings.soak_duration", request => request.Settings = new() { SoakDuration = Hours(9) } },
    };

    [Theory]
    [MemberData(nameof(Days))]
    public void PlanSecondDay_Malformed_NamesTheField(string field, Action<PlanSecondDayRequest> spoil)
    {
        var request = AdviceDesk.SecondDay(40);
        PlanSecondDay.CheckShape(request, StartMs);
        spoil(request);
        AssertRefused(field, () => PlanSecondDay.CheckShape(request, StartMs));
    }

    public static TheoryData<string, Action<AskWhatIfRequest>> Questions => new()
    {
        { "piece", request => request.ClearSubject() },
        { "piece", request => request.Piece = "seven" },
        { "hold_room", request => request.ClearChange() },
        { "hold_room.temperature_celsius", request => request.HoldRoom.TemperatureCelsius = 36 },
        { "hold_room.from_time", request => request.HoldRoom.FromTime = AdviceDesk.At(9) },
        { "hold_room.until_time", request => request.HoldRoom.UntilTime = AdviceDesk.At(11) },
        { "session_time", request => request.SessionTime = null },
        { "session_time", request => request.SessionTime = AdviceDesk.At(0) },
        { "first_pour_time", request => request.Site = SampleStudio.North },
        { "session_time", request => request.SessionTime = new() { Seconds = 253_402_300_799 } },
        { "hold_room.until_time", request => request.HoldRoom.UntilTime = new() { Seconds = 253_402_300_799 } },
        { "gate", request => request.Gate = Gate.HandOver },
        { "move_session.by", request => request.MoveSession = new() },
        { "split_pour.layer_count", request => request.SplitPour = new() },
        { "other_resin.resin_system", request => request.OtherResin = new() },
        { "smallest_warming.from_time", request => request.SmallestWarming = new() { FromTime = AdviceDesk.At(9) } },
    };

    // Ten hours after the pour: what was cannot be warmed.
    [Theory]
    [MemberData(nameof(Questions))]
    public void AskWhatIf_Malformed_NamesTheField(string field, Action<AskWhatIfRequest> spoil)
    {
        var request = AdviceDesk.OfPiece(sessionAtHours: 96);
        request.HoldRoom = AdviceDesk.Hold(24);
        Ask(request);
        spoil(request);
        AssertRefused(field, () => Ask(request));
    }

    private static void Ask(AskWhatIfRequest request)
    {
        var nowMs = StudioHarness.Start.AddHours(10).ToUnixMs();
        AskWhatIf.CheckShape(request, nowMs);
        AskWhatIf.Decide(request, Poured, nowMs);
    }

    private static WhatIfFacts Poured => new()
    {
        Case = new() { Layers = [new(0, 10, 20, ResinCureModel.DeepCasting)], Ambient = [new(0, 20)] },
        Draws = PieceDraws.Of(new() { Draws = 8 }),
        FirstPourMs = StartMs,
        Piece = new PieceRecord
        {
            Name = CastingDesk.Piece, Studio = SampleStudio.Name, Site = SampleStudio.North, Label = "7", State = Piece.Types.State.Curing,
        },
        Zone = TimeZoneInfo.Utc,
    };

    private static void AssertRefused(string field, Action ask)
    {
        var refusal = Assert.Throws<Refusal>(ask);
        Assert.Equal((Reasons.FieldInvalid, field), (refusal.Reason, Assert.Single(refusal.Fields).Field));
    }

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
