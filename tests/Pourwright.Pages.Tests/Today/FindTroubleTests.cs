using Google.Protobuf.WellKnownTypes;
using Pourwright.Pages.Today;
using Pourwright.V1;
using State = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Pages.Tests.Today;

public sealed class FindTroubleTests
{
    private static readonly DateTimeOffset Now = new(2026, 2, 6, 9, 0, 0, TimeSpan.Zero);
    private static readonly Dictionary<string, TimeZoneInfo> Zones = [];

    /// <summary>A piece of a class whose session is in two days, safe for the saw after some hours (never where negative).</summary>
    private static (Piece, PieceReadiness) Poured(string label, string castingClass, double safeHours, bool held = false, State state = State.Curing)
    {
        var safe = safeHours < 0 ? null : Timestamp.FromDateTimeOffset(Now.AddHours(safeHours));
        var piece = new Piece { Name = $"studios/a/pieces/{label}", Label = label, CastingClass = castingClass, PlannedSessionTime = Timestamp.FromDateTimeOffset(Now.AddDays(2)) };
        return (piece, new()
        {
            Piece = piece.Name, Label = label, Held = held, Forecast = "studios/a/pieces/x/forecasts/1",
            Rungs = { new PieceReadiness.Types.Rung { Gate = Gate.Handle, State = state, Forecast = new() { Gate = Gate.Handle, SafeTime = safe } } },
        });
    }

    private static string Kinds(params (Piece, PieceReadiness)[] pieces) =>
        string.Join(' ', FindTrouble.Find([], pieces, Zones, Now).SelectMany(trouble => trouble.Troubled).Select(piece => $"{piece.Label}:{piece.Kind}"));

    [Fact]
    public void Piece_SafeByItsSession_IsNoTrouble_AndOneMinuteLaterIs()
    {
        Assert.Equal("", Kinds(Poured("1", "tray", 48)));
        Assert.Equal("1:Late", Kinds(Poured("1", "tray", 48 + 1.0 / 60)));
    }

    [Fact]
    public void Pieces_WorstFirst_HeldContradictedNeverLate() => Assert.Equal("4:Held 3:Contradicted 2:Never 1:Late",
        Kinds(Poured("1", "tray", 50), Poured("2", "tray", -1), Poured("3", "tray", 1, state: State.Contradicted), Poured("4", "tray", 1, held: true)));

    [Fact]
    public void Piece_ThatForecastAndTouchCallReady_IsNoTrouble() => Assert.Equal("", Kinds(Poured("1", "tray", 60, state: State.Ready)));

    // One of two is worse than one of four; what is fine comes last.
    [Fact]
    public void Classes_ComeByTheShareInTrouble()
    {
        (Piece, PieceReadiness)[] pieces =
        [
            Poured("1", "fine", 1),
            Poured("2", "some", 60), Poured("3", "some", 1), Poured("4", "some", 1), Poured("5", "some", 1),
            Poured("6", "half", 60), Poured("7", "half", 1),
        ];

        Assert.Equal(["half", "some", "fine"], FindTrouble.Find([], pieces, Zones, Now).Select(trouble => trouble.Title));
    }
}
