using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Step.Types.Kind;
using Touch = Pourwright.V1.Check.Types.Touch;

namespace Pourwright.Studio.Tests.Pieces;

/// <summary>Every way to be refused: what was asked, the code, the reason, the first field.</summary>
public sealed class PieceRefusalTests(PieceStudio studio) : IClassFixture<PieceStudio>
{
    private const StatusCode Invalid = StatusCode.InvalidArgument, Failed = StatusCode.FailedPrecondition;

    private sealed record Case(Func<PieceStudio, Task> Ask, StatusCode Code, string Reason, string Field = "");

    private static readonly Dictionary<string, Case> Cases = new()
    {
        ["piece absent"] = Create(r => r.Piece = null, "piece.site"),
        ["piece of a site of another studio"] = Create(r => r.Piece.Site = "studios/birch/sites/north", "piece.site"),
        ["piece without a label"] = Create(r => r.Piece.Label = "", "piece.label"),
        ["piece with a label of 41"] = Create(r => r.Piece.Label = new('x', 41), "piece.label"),
        ["piece with a maker of 81"] = Create(r => r.Piece.Maker = new('x', 81), "piece.maker"),
        ["piece of wet wood"] = Create(r => r.Piece.WoodMoisturePercent = 60.1, "piece.wood_moisture_percent"),
        ["piece planned for no instant"] = Create(r => r.Piece.PlannedSessionTime = new() { Nanos = -1 }, "piece.planned_session_time"),
        ["piece with a short id"] = Create(r => r.PieceId = "p7", "piece_id"),
        ["piece with an id that is taken"] = Create(r => r.PieceId = "curing", StatusCode.AlreadyExists, Reasons.PieceExists),
        ["piece of a site that is not there"] = Create(r => r.Piece.Site = "studios/alder/sites/west", StatusCode.NotFound, Reasons.SiteNotFound),

        ["pour absent"] = Pour(r => r.Pour = null, "pour.mix"),
        ["pour of nothing"] = Pour(r => r.Pour.MassMg = 0, "pour.mass_mg"),
        ["pour of 0.4 mm"] = Pour(r => r.Pour.DepthMm = 0.4, "pour.depth_mm"),
        ["pour of 200.1 mm"] = Pour(r => r.Pour.DepthMm = 200.1, "pour.depth_mm"),
        ["pour of no number of mm"] = Pour(r => r.Pour.DepthMm = double.NaN, "pour.depth_mm"),
        ["pour of resin at 61 C"] = Pour(r => r.Pour.ResinTemperatureCelsius = 61, "pour.resin_temperature_celsius"),
        ["pour on a surface at -21 C"] = Pour(r => r.Pour.SurfaceTemperatureCelsius = -21, "pour.surface_temperature_celsius"),
        ["pour by nobody"] = Pour(r => r.Pour.Pourer = "", "pour.pourer"),
        ["pour excused in two letters"] = Pour(r => r.Pour.DeviationReason = "ok", "pour.deviation_reason"),
        ["pour of something that is no mix"] = Pour(r => r.Pour.Mix = "first", "pour.mix"),
        ["pour on a bench of another studio"] = Pour(r => r.Pour.Bench = "studios/birch/sites/north/benches/shelf", "pour.bench"),
        ["pour at no instant"] = Pour(r => r.Pour.PourTime = new() { Nanos = -1 }, "pour.pour_time"),
        ["pour six minutes ahead"] = Pour(r => r.Pour.PourTime = At(PieceStudio.Now.AddMinutes(6)), Invalid, Reasons.TimeInFuture, "pour.pour_time"),
        ["pour into no piece"] = Pour(r => r.Parent = PieceStudio.PieceNamed("nowhere"), StatusCode.NotFound, Reasons.PieceNotFound),
        ["pour of no mix"] = Pour(r => r.Pour.Mix = "studios/alder/mixes/none", StatusCode.NotFound, Reasons.MixNotFound),
        ["pour on no bench"] = Pour(r => r.Pour.Bench = "studios/alder/sites/north/benches/none", StatusCode.NotFound, Reasons.BenchNotFound),
        // 1,420 g were mixed, four pieces took 100 g each.
        ["pour of 1 mg more than is there"] = Pour(r => r.Pour.MassMg = 1_020_001, Failed, Reasons.MixShort),
        ["pour deeper than a limit that refuses"] = Pour(r => r.Pour.DepthMm = 40.1, Failed, Reasons.DepthOverLimit),
        ["pour into a demolded piece"] = Pour(r => r.Parent = PieceStudio.PieceNamed("demolded"), Failed, Reasons.PieceDemolded),
        ["pour into a piece given away"] = Pour(r => r.Parent = PieceStudio.PieceNamed("given"), Failed, Reasons.PieceHandedOver),
        ["pour into a scrapped piece"] = Pour(r => r.Parent = PieceStudio.PieceNamed("scrapped"), Failed, Reasons.PieceScrapped),
        ["pour on a bench of another site"] = Pour(r => r.Pour.Bench = SampleStudio.SouthBench, Failed, Reasons.SiteMismatch),
        ["pour of a mix of another site"] = Pour(r => (r.Parent, r.Pour.Bench) = (PieceStudio.PieceNamed("southern"), SampleStudio.SouthBench), Failed, Reasons.SiteMismatch),
        ["pour before its mix"] = Pour(r => r.Pour.PourTime = At(PieceStudio.MixTime.AddSeconds(-1)), Failed, Reasons.TimeOutOfOrder),
        ["pour before the layer below"] = Pour(r => (r.Parent, r.Pour.PourTime) = (PieceStudio.PieceNamed("curing"), At(PieceStudio.PourTime.AddSeconds(-1))), Failed, Reasons.TimeOutOfOrder),
        ["pour with an id that is taken"] = Pour(r => (r.Parent, r.PourId) = (PieceStudio.PieceNamed("curing"), "first-layer"), StatusCode.AlreadyExists, Reasons.PourExists),

        ["check absent"] = Check(r => r.Check = null, "check.checker"),
        ["check of nothing"] = Check(r => r.Check.Touch = Touch.Unspecified, "check"),
        ["check of a note alone"] = Check(r => (r.Check.Touch, r.Check.Note) = (Touch.Unspecified, "left edge"), "check"),
        ["check that reads and cannot read"] = Check(r => (r.Check.ShoreD, r.Check.ShoreDBelowScale) = (80, true), "check.shore_d"),
        ["check of Shore D 101"] = Check(r => r.Check.ShoreD = 101, "check.shore_d"),
        ["check of an unknown touch"] = Check(r => r.Check.Touch = (Touch)9, "check.touch"),
        ["check of 251 C"] = Check(r => r.Check.SurfaceTemperatureCelsius = 251, "check.surface_temperature_celsius"),
        ["check of 501 mm"] = Check(r => r.Check.ThicknessMm = 501, "check.thickness_mm"),
        ["check six minutes ahead"] = Check(r => r.Check.CheckTime = At(PieceStudio.Now.AddMinutes(6)), Invalid, Reasons.TimeInFuture, "check.check_time"),
        ["check of no piece"] = Check(r => r.Parent = PieceStudio.PieceNamed("nowhere"), StatusCode.NotFound, Reasons.PieceNotFound),

        ["step absent"] = Step(r => r.Step = null, "step.kind"),
        ["step of no kind"] = Step(r => r.Step.Kind = Kind.Unspecified, "step.kind"),
        ["step of an unknown kind"] = Step(r => r.Step.Kind = (Kind)99, "step.kind"),
        ["step by nobody"] = Step(r => r.Step.Worker = "", "step.worker"),
        ["move to nowhere"] = Step(r => r.Step.Kind = Kind.Move, "step.bench"),
        ["demolding with a bench"] = Step(r => r.Step.Bench = SampleStudio.NorthBench, "step.bench"),
        ["step six minutes ahead"] = Step(r => r.Step.StepTime = At(PieceStudio.Now.AddMinutes(6)), Invalid, Reasons.TimeInFuture, "step.step_time"),
        ["step before the pour"] = Step(r => r.Step.StepTime = At(PieceStudio.PourTime.AddSeconds(-1)), Failed, Reasons.TimeOutOfOrder),
        ["step on no piece"] = Step(r => r.Parent = PieceStudio.PieceNamed("nowhere"), StatusCode.NotFound, Reasons.PieceNotFound),
        ["demolding without a pour"] = Step(r => r.Parent = PieceStudio.PieceNamed("prepared"), Failed, Reasons.PieceNotPoured),
        ["move without a pour"] = Step(r => (r.Parent, r.Step.Kind, r.Step.Bench) = (PieceStudio.PieceNamed("prepared"), Kind.Move, SampleStudio.NorthBench), Failed, Reasons.PieceNotPoured),
        ["sawing in the mould"] = Step(r => r.Step.Kind = Kind.Saw, Failed, Reasons.PieceNotDemolded),
        ["demolding twice"] = Step(r => r.Parent = PieceStudio.PieceNamed("demolded"), Failed, Reasons.PieceDemolded),
        ["step on a piece given away"] = Step(r => r.Parent = PieceStudio.PieceNamed("given"), Failed, Reasons.PieceHandedOver),
        ["step on a scrapped piece"] = Step(r => r.Parent = PieceStudio.PieceNamed("scrapped"), Failed, Reasons.PieceScrapped),
        ["move to another site"] = Step(r => (r.Step.Kind, r.Step.Bench) = (Kind.Move, SampleStudio.SouthBench), Failed, Reasons.SiteMismatch),

        ["get no piece"] = new(s => s.Pieces.GetPieceAsync(new() { Name = PieceStudio.PieceNamed("nowhere") }).ResponseAsync, StatusCode.NotFound, Reasons.PieceNotFound),
        ["get no pour"] = new(s => s.Pieces.GetPourAsync(new() { Name = PieceStudio.PieceNamed("curing") + "/pours/none" }).ResponseAsync, StatusCode.NotFound, Reasons.PourNotFound),
        ["list pours of no piece"] = new(s => s.Pieces.ListPoursAsync(new() { Parent = PieceStudio.PieceNamed("nowhere") }).ResponseAsync, StatusCode.NotFound, Reasons.PieceNotFound),
        ["list minus one piece"] = new(s => s.Pieces.ListPiecesAsync(new() { Parent = SampleStudio.Name, PageSize = -1 }).ResponseAsync, Invalid, Reasons.FieldInvalid, "page_size"),
        ["list pieces in no state"] = new(s => s.Pieces.ListPiecesAsync(new() { Parent = SampleStudio.Name, State = (Piece.Types.State)9 }).ResponseAsync, Invalid, Reasons.FieldInvalid, "state"),
        ["list steps from a torn page"] = new(s => s.Pieces.ListStepsAsync(new() { Parent = PieceStudio.PieceNamed("given"), PageToken = "torn" }).ResponseAsync, Invalid, Reasons.PageTokenInvalid, "page_token"),
    };

    public static TheoryData<string> Asked => [.. Cases.Keys];

    [Theory]
    [MemberData(nameof(Asked))]
    public async Task Refused_WithCodeReasonAndField_AndNothingIsKept(string asked)
    {
        var (ask, code, reason, field) = Cases[asked];
        var rows = studio.RowCount();

        var refusal = await Assert.ThrowsAsync<RpcException>(() => ask(studio));

        Assert.Equal((code, reason, field), (refusal.StatusCode, refusal.Reason(), refusal.Fields() is [var first, ..] ? first : ""));
        Assert.Equal(rows, studio.RowCount());
    }

    private static Case Create(Action<CreatePieceRequest> change, string field) => Create(change, Invalid, Reasons.FieldInvalid, field);

    private static Case Create(Action<CreatePieceRequest> change, StatusCode code, string reason, string field = "") => new(studio =>
    {
        var request = new CreatePieceRequest { Parent = SampleStudio.Name, Piece = new() { Site = SampleStudio.North, Label = "7" } };
        change(request);
        return studio.Pieces.CreatePieceAsync(request).ResponseAsync;
    }, code, reason, field);

    private static Case Pour(Action<RecordPourRequest> change, string field) => Pour(change, Invalid, Reasons.FieldInvalid, field);

    private static Case Pour(Action<RecordPourRequest> change, StatusCode code, string reason, string field = "") => new(studio =>
    {
        var request = PieceStudio.Pour("prepared");
        change(request);
        return studio.Pieces.RecordPourAsync(request).ResponseAsync;
    }, code, reason, field);

    private static Case Check(Action<RecordCheckRequest> change, string field) => Check(change, Invalid, Reasons.FieldInvalid, field);

    private static Case Check(Action<RecordCheckRequest> change, StatusCode code, string reason, string field = "") => new(studio =>
    {
        var request = PieceStudio.Check("curing");
        change(request);
        return studio.Pieces.RecordCheckAsync(request).ResponseAsync;
    }, code, reason, field);

    private static Case Step(Action<RecordStepRequest> change, string field) => Step(change, Invalid, Reasons.FieldInvalid, field);

    private static Case Step(Action<RecordStepRequest> change, StatusCode code, string reason, string field = "") => new(studio =>
    {
        var request = PieceStudio.Step("curing", Kind.Demold);
        change(request);
        return studio.Pieces.RecordStepAsync(request).ResponseAsync;
    }, code, reason, field);

    private static Timestamp At(DateTimeOffset instant) => Timestamp.FromDateTimeOffset(instant);
}
