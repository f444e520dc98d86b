using Pourwright.Studio.Offerings;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Moulds;

/// <summary>What decides whether a class may have moulds; <paramref name="Others"/> hold moulds of the same kind.</summary>
public sealed record BookFacts(
    ClassRecord Class, OfferingRecord Offering, IReadOnlyList<SessionRecord> Sessions, MouldRecord Mould, IReadOnlyList<MouldHold> Others)
{
    /// <summary>From the begin of the pour to the end of the machine day, Unix ms; null while there is no pour.</summary>
    public (long StartMs, long EndMs)? Span => MouldSpan.Of(Sessions);
}

/// <summary>A class keeps moulds for its pieces.</summary>
public static class BookMoulds
{
    public const int CountMax = 1000;

    /// <summary>What is booked, once it may be.</summary>
    /// <exception cref="Refusal">CLASS_STATE, SITE_MISMATCH, MOULD_TOO_SMALL, MOULDS_TAKEN.</exception>
    public static MouldHold Decide(BookFacts facts, int count)
    {
        if (!facts.Class.IsOpen) throw DescribeClass.Closed(facts.Class, "given no moulds any more");
        RequireSite(facts);
        if (!facts.Mould.Fits(facts.Offering)) throw TooSmall(facts);
        var span = facts.Span;
        if (span is { } held) RequireFree(facts, count, MouldUse.Most(facts.Others, held.StartMs, held.EndMs), held);
        else RequireFree(facts, count, 0, null);
        return new() { Mould = facts.Mould.Name, Class = facts.Class.Name, Count = count, StartMs = span?.StartMs, EndMs = span?.EndMs };
    }

    private static void RequireSite(BookFacts facts)
    {
        var pour = facts.Sessions.FirstOrDefault(session => session is { IsLive: true, Kind: Session.Types.Kind.Pour });
        if (pour is null ? facts.Class.Sites.Contains(facts.Mould.Site) : pour.Site == facts.Mould.Site) return;
        var sites = pour?.Site ?? string.Join(", ", facts.Class.Sites);
        throw Refusal.Precondition(Reasons.SiteMismatch,
            $"Class '{facts.Class.Name}' pours at '{sites}', mould '{facts.Mould.Name}' is at '{facts.Mould.Site}'. Choose a mould of that site.",
            ("casting_class", facts.Class.Name), ("class_site", sites), ("mould", facts.Mould.Name), ("mould_site", facts.Mould.Site));
    }

    private static void RequireFree(BookFacts facts, int count, int held, (long StartMs, long EndMs)? span)
    {
        if (count + held <= facts.Mould.Count) return;
        var when = span is { } s ? $" from {Instants.Utc(s.StartMs)} to {Instants.Utc(s.EndMs)}" : "";
        throw Refusal.Precondition(Reasons.MouldsTaken,
            $"{count} of '{facts.Mould.Name}' are wanted{when}; there are {facts.Mould.Count}, and other classes hold {held} then. Take {Math.Max(0, facts.Mould.Count - held)}, others, or move a class.",
            ("mould", facts.Mould.Name), ("wanted_count", $"{count}"), ("mould_count", $"{facts.Mould.Count}"), ("held_count", $"{held}"));
    }

    private static Refusal TooSmall(BookFacts facts)
    {
        var (mould, offering) = (facts.Mould, facts.Offering);
        return Refusal.Precondition(Reasons.MouldTooSmall,
            FormattableString.Invariant($"A piece of '{offering.Name}' is {offering.LengthMm} × {offering.WidthMm} × {offering.DepthMm} mm, mould '{mould.Name}' inside {mould.LengthMm} × {mould.WidthMm} × {mould.DepthMm} mm. Take a larger one."),
            ("mould", mould.Name), ("offering", offering.Name),
            ("piece_size_mm", FormattableString.Invariant($"{offering.LengthMm} × {offering.WidthMm} × {offering.DepthMm}")),
            ("mould_size_mm", FormattableString.Invariant($"{mould.LengthMm} × {mould.WidthMm} × {mould.DepthMm}")));
    }
}
