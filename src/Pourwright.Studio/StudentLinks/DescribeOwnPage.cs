using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Note = Pourwright.V1.OwnPiece.Types.Note;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.StudentLinks;

/// <summary>A piece that a link is good for.</summary>
internal sealed record OwnPieceFacts(PieceRecord Piece, SiteRecord Site, PieceReadiness Readiness, ForecastRecord? Forecast, IReadOnlyList<ForecastStep> Steps);

/// <summary>All that a student's page rests on.</summary>
/// <param name="ClassTitle">Empty for a piece of no class.</param>
/// <param name="Sessions">Those the student may attend.</param>
/// <param name="SiteTitles">What people call each site, by name.</param>
internal sealed record OwnPageFacts(
    StudentLinkRecord Link, string StudioTitle, string ClassTitle, IReadOnlyList<SessionRecord> Sessions, IReadOnlyDictionary<string, string> SiteTitles,
    IReadOnlyList<OwnPieceFacts> Pieces);

/// <summary>What one student is shown: times, places and states, and not a word that people of the house wrote.</summary>
internal static class DescribeOwnPage
{
    private static readonly Gate[] Gates = [Gate.Demold, Gate.Handle, Gate.Sand];

    public static OwnPage Of(OwnPageFacts facts, DateTimeOffset now) => new()
    {
        StudioDisplayName = facts.StudioTitle,
        ClassDisplayName = facts.ClassTitle,
        Sessions = { facts.Sessions.OrderBy(session => session.StartMs).Select(session => Session(session, facts.SiteTitles)) },
        Pieces = { facts.Pieces.OrderBy(piece => piece.Piece.Label, StringComparer.Ordinal).Select(piece => Piece(piece, Next(facts, piece, now))) },
        PageTime = Timestamp.FromDateTimeOffset(now),
        ExpireTime = Instants.ToTimestamp(facts.Link.ExpireMs),
    };

    /// <summary>When its maker comes back: the next session after the pour, else what the piece itself says.</summary>
    private static long? Next(OwnPageFacts facts, OwnPieceFacts piece, DateTimeOffset now) => facts.Sessions
        .Where(session => session.IsLive && session.Kind != V1.Session.Types.Kind.Pour && session.EndMs > now.ToUnixMs())
        .Min(session => (long?)session.StartMs) ?? piece.Piece.PlannedSessionMs;

    private static OwnSession Session(SessionRecord session, IReadOnlyDictionary<string, string> titles) => new()
    {
        Kind = session.Kind,
        StartTime = Instants.ToTimestamp(session.StartMs),
        EndTime = Instants.ToTimestamp(session.EndMs),
        TimeZone = session.TimeZone,
        SiteDisplayName = titles[session.Site],
        Cancelled = !session.IsLive,
        Moved = session.IsLive && session.State != V1.Session.Types.State.Confirmed,
    };

    private static OwnPiece Piece(OwnPieceFacts facts, long? nextMs) => new()
    {
        Name = facts.Piece.Name,
        Label = facts.Piece.Label,
        State = facts.Piece.State,
        Gates = { IsInHouse(facts) && facts.Forecast is not null ? facts.Readiness.Rungs.Where(rung => Gates.Contains(rung.Gate)).Select(GateOf) : [] },
        Move = IsInHouse(facts) ? LastMove.Of(facts.Steps) : null,
        PlannedSessionTime = Instants.ToTimestamp(nextMs),
        SiteDisplayName = facts.Site.DisplayName,
        TimeZone = facts.Site.TimeZone,
        Notes = { Notes(facts, nextMs) },
    };

    private static OwnGate GateOf(PieceReadiness.Types.Rung rung) => new()
    {
        Gate = rung.Gate,
        State = rung.State,
        EarliestTime = rung.Forecast?.EarliestTime,
        LikelyTime = rung.Forecast?.LikelyTime,
        SafeTime = rung.Forecast?.SafeTime,
    };

    private static IEnumerable<Note> Notes(OwnPieceFacts facts, long? nextMs)
    {
        var curing = facts.Piece.State == V1.Piece.Types.State.Curing;
        var handle = facts.Readiness.Rungs.Single(rung => rung.Gate == Gate.Handle);
        if (facts.Piece.IsHeld) yield return Note.Held;
        if (curing && facts.Readiness.Peak is { Risk: PeakPrediction.Types.Risk.Caution or PeakPrediction.Types.Risk.Runaway }) yield return Note.Hot;
        if (IsInHouse(facts) && handle.Forecast is { Stall: not null }) yield return Note.Cold;
        if (IsInHouse(facts) && IsLate(handle, nextMs)) yield return Note.Late;
        if (IsInHouse(facts) && facts.Readiness.Rungs.Single(rung => rung.Gate == Gate.Sand).State != RungState.Ready) yield return Note.Uncured;
        if (facts.Piece.State is V1.Piece.Types.State.Demolded or V1.Piece.Types.State.HandedOver) yield return Note.Hardening;
    }

    private static bool IsLate(PieceReadiness.Types.Rung handle, long? nextMs) =>
        nextMs is { } next && handle.State != RungState.Ready && handle.Forecast is { } forecast && !(forecast.SafeTime.ToUnixMsOrNull() <= next);

    private static bool IsInHouse(OwnPieceFacts facts) => facts.Piece.State is V1.Piece.Types.State.Curing or V1.Piece.Types.State.Demolded;
}
