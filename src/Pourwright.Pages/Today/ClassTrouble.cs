using Pourwright.V1;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Pages.Today;

/// <summary>A class with what stands in its way.</summary>
/// <param name="Name">Its resource name; empty for pieces of no class.</param>
/// <param name="Title">What people call it.</param>
/// <param name="Next">When it meets next; null where that is not said.</param>
/// <param name="Zone">Clock of its site.</param>
/// <param name="PieceCount">Pieces that are poured and in the house.</param>
/// <param name="Troubled">Those that will not be ready, worst first.</param>
/// <param name="Cautions">What the API says of the class itself.</param>
public sealed record ClassTrouble(
    string Name, string Title, DateTimeOffset? Next, TimeZoneInfo Zone, int PieceCount, IReadOnlyList<PieceTrouble> Troubled, IReadOnlyList<Caution> Cautions)
{
    public bool IsFine => Troubled.Count == 0 && Cautions.Count == 0;
}

/// <summary>Why a piece is in trouble; the first that holds.</summary>
public enum TroubleKind
{
    /// <summary>It is held.</summary>
    Held,

    /// <summary>The forecast says ready, a person said no.</summary>
    Contradicted,

    /// <summary>It will not be fit for saw and planer without warmth.</summary>
    Never,

    /// <summary>It will be safe only after its session begins.</summary>
    Late,
}

/// <summary>A piece that will not be ready, and what would help most.</summary>
public sealed record PieceTrouble(string Name, string Label, TroubleKind Kind, DateTimeOffset? Safe, Advice? Advice);

/// <summary>Finds what will not be ready for its class.</summary>
public static class FindTrouble
{
    /// <summary>Classes with what is in their way: the share of troubled pieces decides, then the sooner session; those that are fine come last.</summary>
    public static IReadOnlyList<ClassTrouble> Find(
        IEnumerable<CastingClass> classes, IReadOnlyList<(Piece Piece, PieceReadiness Readiness)> pieces, IReadOnlyDictionary<string, TimeZoneInfo> zones, DateTimeOffset now)
    {
        var byName = classes.ToDictionary(castingClass => castingClass.Name);
        var groups = pieces.GroupBy(piece => piece.Piece.CastingClass).Select(group => Of(byName.GetValueOrDefault(group.Key), group.Key, [.. group], zones, now));
        var without = byName.Values.Where(castingClass => pieces.All(piece => piece.Piece.CastingClass != castingClass.Name))
            .Select(castingClass => Of(castingClass, castingClass.Name, [], zones, now));
        return [.. groups.Concat(without)
            .OrderBy(trouble => trouble.IsFine)
            .ThenByDescending(trouble => trouble.PieceCount == 0 ? 0 : (double)trouble.Troubled.Count / trouble.PieceCount)
            .ThenBy(trouble => trouble.Next ?? DateTimeOffset.MaxValue)];
    }

    private static ClassTrouble Of(
        CastingClass? castingClass, string key, IReadOnlyList<(Piece Piece, PieceReadiness Readiness)> pieces, IReadOnlyDictionary<string, TimeZoneInfo> zones, DateTimeOffset now)
    {
        var next = castingClass?.Sessions
            .Where(session => session.State != Session.Types.State.Cancelled && session.EndTime.ToDateTimeOffset() > now).MinBy(session => session.StartTime);
        var planned = pieces.Select(piece => piece.Piece.PlannedSessionTime?.ToDateTimeOffset()).Where(time => time > now).Min();
        var site = next?.Site ?? pieces.Select(piece => piece.Piece.Site).FirstOrDefault() ?? castingClass?.Sites.FirstOrDefault() ?? "";
        return new(castingClass?.Name ?? "", castingClass?.DisplayName ?? key, next?.StartTime.ToDateTimeOffset() ?? planned,
            zones.GetValueOrDefault(site) ?? TimeZoneInfo.Utc, pieces.Count,
            [.. pieces.Select(piece => TroubleOf(piece.Piece, piece.Readiness)).OfType<PieceTrouble>().OrderBy(piece => piece.Kind).ThenByDescending(piece => piece.Safe)],
            castingClass?.Cautions ?? []);
    }

    private static PieceTrouble? TroubleOf(Piece piece, PieceReadiness readiness)
    {
        var handle = readiness.Rungs.Single(rung => rung.Gate == Gate.Handle);
        var safe = handle.Forecast?.SafeTime?.ToDateTimeOffset();
        TroubleKind? kind = readiness.Held ? TroubleKind.Held
            : readiness.Rungs.Any(rung => rung.State == RungState.Contradicted) ? TroubleKind.Contradicted
            : handle.State == RungState.Ready || readiness.Forecast.Length == 0 ? null
            : safe is null ? TroubleKind.Never
            : piece.PlannedSessionTime is { } session && safe > session.ToDateTimeOffset() ? TroubleKind.Late
            : null;
        return kind is { } found ? new(piece.Name, piece.Label, found, safe, readiness.Advice.FirstOrDefault()) : null;
    }
}
