using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Moulds;

/// <summary>How many moulds are in use at once: a class holds its own from the begin of its pour to the end of its machine day.</summary>
public static class MouldUse
{
    /// <summary>The most that <paramref name="holds"/> hold at one instant of a span, start included, end not.</summary>
    /// <remarks>Use rises only where a hold begins, so that the most is found at the begin of the span or of a hold within it.</remarks>
    public static int Most(IReadOnlyCollection<MouldHold> holds, long startMs, long endMs) => holds
        .Select(hold => hold.StartMs).OfType<long>().Where(ms => ms > startMs && ms < endMs).Append(startMs)
        .Max(ms => holds.Where(hold => hold.StartMs <= ms && hold.EndMs > ms).Sum(hold => hold.Count));

    /// <summary>What to know of the moulds of a class that has its sessions: too few, or promised twice.</summary>
    public static IReadOnlyList<Caution> Cautions(
        ClassRecord castingClass, IReadOnlyList<MouldHold> own, IReadOnlyList<MouldRecord> moulds, IReadOnlyList<MouldHold> others, bool isUsed)
    {
        List<Caution> cautions = [];
        if (isUsed && own.Sum(hold => hold.Count) is var booked && booked < castingClass.Pieces)
            cautions.Add(TooFew(castingClass, booked));
        cautions.AddRange(own.Select(hold => Overbooked(hold, moulds.Single(mould => mould.Name == hold.Mould), others)).OfType<Caution>());
        return cautions;
    }

    public static Caution TooFew(ClassRecord castingClass, int count) => Refusals.Cautions.Of(Reasons.MouldsShort,
        $"Class '{castingClass.DisplayName}' makes {castingClass.Pieces} pieces and has {count} moulds. Book more, build some, or move a class.",
        ("casting_class", castingClass.Name), ("piece_count", $"{castingClass.Pieces}"), ("mould_count", $"{count}"));

    private static Caution? Overbooked(MouldHold own, MouldRecord mould, IReadOnlyList<MouldHold> others)
    {
        if (own is not { StartMs: { } startMs, EndMs: { } endMs }) return null;
        var held = Most([.. others.Where(hold => hold.Mould == own.Mould)], startMs, endMs);
        return held + own.Count <= mould.Count ? null : Refusals.Cautions.Of(Reasons.MouldsOverbooked,
            $"Of {mould.Count} moulds '{mould.DisplayName}' {held} are held by other classes at that time, {own.Count} by this one. Book others, or move a class.",
            ("mould", mould.Name), ("mould_count", $"{mould.Count}"), ("held_count", $"{held}"), ("booked_count", $"{own.Count}"));
    }
}
