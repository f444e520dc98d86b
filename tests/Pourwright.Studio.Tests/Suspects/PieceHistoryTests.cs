using Pourwright.Studio.Suspects;
using Pourwright.V1;
using DefectKind = Pourwright.V1.Defect.Types.Kind;
using StepKind = Pourwright.V1.Step.Types.Kind;
using Touch = Pourwright.V1.Check.Types.Touch;

namespace Pourwright.Studio.Tests.Suspects;

/// <summary>Poured at 0; steps, touches and defects at the hours told.</summary>
public sealed class PieceHistoryTests
{
    private const long HourMs = 3_600_000;

    private static PieceHistory Piece(Piece.Types.State state = V1.Piece.Types.State.Demolded) =>
        new(new("p", "s", "", "", null, null, state), [Pour(0)], [], [], []);

    private static PourRow Pour(int hour) => new("p", "m", "b", 30, hour * HourMs, "Ana", null, "s", "r", 0, "Ana", "", 0);

    private static StepRow Step(StepKind kind, int hour) => new("p", kind, hour * HourMs, null);

    private static TouchRow Felt(Touch touch, int hour) => new("p", hour * HourMs, touch);

    private static DefectRow Found(DefectKind kind, int hour) => new("d", "p", kind, hour * HourMs);

    private static readonly Dictionary<string, PieceHistory> Pieces = new()
    {
        ["in its mould"] = Piece(V1.Piece.Types.State.Curing),
        ["firm in its mould"] = Piece(V1.Piece.Types.State.Curing) with { Touches = [Felt(Touch.Soft, 20), Felt(Touch.Firm, 30)] },
        ["soft in its mould"] = Piece(V1.Piece.Types.State.Curing) with { Touches = [Felt(Touch.Firm, 20), Felt(Touch.Soft, 30)] },
        ["firm, then poured again"] = Piece(V1.Piece.Types.State.Curing) with { Touches = [Felt(Touch.Firm, 30)], Pours = [Pour(0), Pour(40)] },
        ["demolded"] = Piece() with { Steps = [Step(StepKind.Demold, 48)] },
        ["demolded, then poured again"] = Piece() with { Steps = [Step(StepKind.Demold, 48)], Pours = [Pour(0), Pour(60)] },
        ["planed"] = Piece() with { Steps = [Step(StepKind.Demold, 48), Step(StepKind.Plane, 50)] },
        ["handed over"] = Piece(V1.Piece.Types.State.HandedOver) with { Steps = [Step(StepKind.Demold, 48), Step(StepKind.HandOver, 90)] },
        ["given up"] = Piece(V1.Piece.Types.State.Scrapped) with { Steps = [Step(StepKind.Demold, 48), Step(StepKind.Scrap, 49)] },
        ["cracked in its mould"] = Piece(V1.Piece.Types.State.Curing) with { Defects = [Found(DefectKind.Cracks, 10)] },
        ["soft and given up"] = Piece(V1.Piece.Types.State.Scrapped) with { Defects = [Found(DefectKind.Soft, 50)], Steps = [Step(StepKind.Demold, 48)] },
    };

    [Theory]
    [InlineData("in its mould", DefectKind.Soft, null, false)]
    [InlineData("firm in its mould", DefectKind.Soft, 30, false)]
    [InlineData("firm in its mould", DefectKind.Cracks, null, false)]
    [InlineData("soft in its mould", DefectKind.Soft, null, false)]
    [InlineData("firm, then poured again", DefectKind.Soft, null, false)]
    [InlineData("demolded", DefectKind.Soft, 48, false)]
    [InlineData("demolded", DefectKind.Warp, null, false)]
    [InlineData("demolded, then poured again", DefectKind.Soft, null, false)]
    [InlineData("planed", DefectKind.Warp, 50, false)]
    [InlineData("planed", DefectKind.LowHardness, null, false)]
    [InlineData("handed over", DefectKind.LowHardness, 90, false)]
    [InlineData("handed over", DefectKind.Soft, 48, false)]
    [InlineData("given up", DefectKind.Soft, null, false)]
    [InlineData("cracked in its mould", DefectKind.Cracks, 10, true)]
    [InlineData("cracked in its mould", DefectKind.Soft, null, false)]
    [InlineData("soft and given up", DefectKind.Soft, 50, true)]
    public void Inspected_CountsWhatSomebodyMustHaveSeen(string piece, DefectKind kind, int? hour, bool defective)
    {
        var inspection = Pieces[piece].Inspected([kind]);

        Assert.Equal((hour * HourMs, defective), (inspection?.Ms, inspection is { IsDefective: true }));
    }

    // Out of its mould at 48 h and handed over at 90 h: only then would both have shown.
    [Fact]
    public void Inspected_SeveralKinds_FineOnceEachWouldHaveShown() =>
        Assert.Equal(90 * HourMs, Pieces["handed over"].Inspected([DefectKind.Soft, DefectKind.LowHardness])!.Ms);

    [Fact]
    public void Inspected_NoKindNamed_TakesAnyDefect()
    {
        Assert.True(Pieces["cracked in its mould"].Inspected([])!.IsDefective);
        Assert.Equal(48 * HourMs, Pieces["demolded"].Inspected([])!.Ms);
    }

    [Fact]
    public void Kinds_OfTheProtocol_AllHaveTheirOwn()
    {
        var said = Enum.GetValues<DefectKind>().Where(kind => kind != DefectKind.Unspecified).ToList();
        Assert.Equal(Enum.GetValues<Evidence.Suspects.DefectKind>().Order(), said.Select(DefectKinds.Of).Order());
    }

    [Fact]
    public void Factors_OfTheProtocol_AllHaveTheirOwn() => Assert.Equal(
        Enum.GetValues<SuspectFactor>().Where(factor => factor != SuspectFactor.Unspecified).Order(),
        Enum.GetValues<Evidence.Suspects.Factor>().Select(SuspectTerms.ToProto).Order());

    [Theory]
    [InlineData("Soft", DefectKind.Soft)]
    [InlineData("Tacky skin", DefectKind.TackySkin)]
    [InlineData("Soft or tacky skin", DefectKind.Soft, DefectKind.TackySkin)]
    [InlineData("Soft, bubbles or colour drift", DefectKind.Soft, DefectKind.Bubbles, DefectKind.ColourDrift)]
    [InlineData("Any defect")]
    public void Heading_NamesTheKinds(string heading, params DefectKind[] kinds) => Assert.Equal(heading, DefectKinds.Heading(kinds));
}
