using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>An event of a container that stands. Sequence is its place in the order of what happened, RecordedSequence that of its row.</summary>
public sealed record StandingEvent
{
    public required long Sequence { get; init; }
    public required long RecordedSequence { get; init; }
    public required string Kind { get; init; }
    public required long MassMg { get; init; }
    public string? OtherContainer { get; init; }
    public string? Mix { get; init; }
    public string? Site { get; init; }
    public string Reason { get; init; } = "";
    public required long EventMs { get; init; }
}

/// <summary>A draw in the place of one that was recorded wrongly.</summary>
public sealed record PlacedDraw(string Mix, long MassMg, long Place, long EventMs);

/// <summary>What of a container's history is put right.</summary>
/// <param name="Container">As it stands.</param>
/// <param name="Events">All of its events that stand, in the order of their places.</param>
/// <param name="TakenBack">RecordedSequences of the draws that were otherwise.</param>
/// <param name="Drawn">What was really drawn.</param>
/// <param name="SealedExpireMs">When it expires while it is sealed, Unix ms; null for never.</param>
public sealed record ContainerHistory(
    ContainerRecord Container, IReadOnlyList<StandingEvent> Events, IReadOnlyCollection<long> TakenBack, IReadOnlyList<PlacedDraw> Drawn,
    long? SealedExpireMs);

/// <summary>Puts draws of a container right: each is taken back by an event of its own, and what is right stands in its place.</summary>
/// <remarks>
/// A scale's word holds: what was found at a weighing, or thrown away as the rest, stays what it was, and the difference to the book
/// changes instead. At no time does the container give more than it held.
/// </remarks>
public static class RebookContainer
{
    /// <param name="history">The container and what is put right.</param>
    /// <param name="mix">The mix whose correction it is.</param>
    /// <param name="reason">Of the correction.</param>
    /// <param name="nowMs">Unix ms.</param>
    /// <param name="openedShelfLifeMs">Of its resin system; null where its sheet gives none.</param>
    /// <exception cref="Refusal">CONTAINER_SPENT, CONTAINER_SHORT.</exception>
    public static ContainerChange Decide(ContainerHistory history, string mix, string reason, long nowMs, long? openedShelfLifeMs)
    {
        var change = history.Drawn.Count == 0
            ? Sealed(history, mix, reason, nowMs)
            : Opened(history.Container, history.Drawn.Min(draw => draw.EventMs), openedShelfLifeMs, mix);
        foreach (var happened in Replay(history, mix, reason, nowMs)) change = change.With(happened);
        return change;
    }

    /// <summary>Open since the draw at the latest.</summary>
    private static ContainerChange Opened(ContainerRecord container, long atMs, long? openedShelfLifeMs, string mix) =>
        container.State == Container.Types.State.Sealed ? OpenContainer.Opened(container, atMs, openedShelfLifeMs, mix) : new(container with
        {
            OpenMs = ContainerExpiry.First(container.OpenMs, atMs),
            ExpireMs = ContainerExpiry.First(container.ExpireMs, atMs + openedShelfLifeMs),
        });

    /// <summary>Sealed again where a draw alone had opened it, and it turns out that nobody ever took anything from it.</summary>
    private static ContainerChange Sealed(ContainerHistory history, string mix, string reason, long nowMs)
    {
        var container = history.Container;
        if (history.Events.FirstOrDefault(e => e is { Kind: ContainerEventKinds.Opened, Mix: not null }) is not { } opened
            || history.Events.Any(e => IsUse(e) && !history.TakenBack.Contains(e.RecordedSequence))) return new(container);
        return new ContainerChange(container with
        {
            State = container.State == Container.Types.State.Open ? Container.Types.State.Sealed : container.State,
            OpenMs = null,
            ExpireMs = history.SealedExpireMs,
        }).With(TakeBack(container, opened, mix, reason, nowMs));
    }

    private static bool IsUse(StandingEvent e) => e.Kind is ContainerEventKinds.Mixed or ContainerEventKinds.Decanted or ContainerEventKinds.Filled;

    private static IEnumerable<ContainerEventRecord> Replay(ContainerHistory history, string mix, string reason, long nowMs)
    {
        var (wasMg, isMg) = (0L, 0L);
        var draws = new Queue<PlacedDraw>(history.Drawn.OrderBy(draw => draw.Place));
        foreach (var e in history.Events)
        {
            while (draws.TryPeek(out var draw) && draw.Place < e.Sequence) yield return Draw(draws.Dequeue());
            wasMg += e.MassMg;
            var rightMg = history.TakenBack.Contains(e.RecordedSequence) ? 0 : IsCounted(e) ? wasMg - isMg : e.MassMg;
            if (isMg + rightMg < 0) throw Short(history.Container, e, isMg);
            isMg += rightMg;
            if (rightMg == e.MassMg) continue;
            yield return TakeBack(history.Container, e, mix, reason, nowMs);
            // Also where nothing is left of it: what was thrown away while empty by the book stays so when a later correction finds some.
            if (IsCounted(e)) yield return Again(history.Container, e, rightMg);
        }
        while (draws.TryDequeue(out var draw)) yield return Draw(draw);

        ContainerEventRecord Draw(PlacedDraw draw)
        {
            RequireHeld(history.Container, draw, isMg);
            isMg -= draw.MassMg;
            return new()
            {
                Container = history.Container.Name, Kind = ContainerEventKinds.Mixed, MassMg = -draw.MassMg, Mix = draw.Mix,
                EventMs = draw.EventMs, Place = draw.Place,
            };
        }
    }

    /// <summary>What it held after this was counted, not reckoned.</summary>
    private static bool IsCounted(StandingEvent e) => e.Kind is ContainerEventKinds.Weighed or ContainerEventKinds.Discarded;

    private static ContainerEventRecord TakeBack(ContainerRecord container, StandingEvent e, string mix, string reason, long nowMs) => new()
    {
        Container = container.Name, Kind = ContainerEventKinds.Corrected, MassMg = -e.MassMg, Mix = mix, Reason = reason,
        EventMs = nowMs, Corrects = e.RecordedSequence,
    };

    private static ContainerEventRecord Again(ContainerRecord container, StandingEvent e, long rightMg) => new()
    {
        Container = container.Name, Kind = e.Kind, MassMg = rightMg, Reason = e.Reason, EventMs = e.EventMs, Place = e.Sequence,
    };

    private static void RequireHeld(ContainerRecord container, PlacedDraw draw, long heldMg)
    {
        var at = Instants.Utc(draw.EventMs);
        if (heldMg <= 0)
            throw Refusal.Precondition(Reasons.ContainerSpent,
                $"{container.Label} held nothing by the book when the mix was recorded ({at}): it was empty by then, or had not come in yet. Name the container that it was.",
                ("container", container.Name), ("mix_time", at));
        if (heldMg < draw.MassMg)
            throw Refusal.Precondition(Reasons.ContainerShort,
                $"{container.Label} held {Amounts.Grams(heldMg)} by the book when the mix was recorded ({at}), {Amounts.Grams(draw.MassMg)} were to be drawn. No vessel gives more than it held: name another mass or container, or correct first what was drawn from it before.",
                ("container", container.Name), ("mix_time", at), ("held_mass_mg", $"{heldMg}"), ("mass_mg", $"{draw.MassMg}"));
    }

    private static Refusal Short(ContainerRecord container, StandingEvent e, long heldMg)
    {
        var into = ResourceNames.IdOf(e.Mix ?? e.OtherContainer ?? container.Name);
        return Refusal.Precondition(Reasons.ContainerShort,
            $"{container.Label} would then have held {Amounts.Grams(heldMg)} by the book at {Instants.Utc(e.EventMs)}, when {Amounts.Grams(-e.MassMg)} went into {into}. No vessel gives more than it held: correct that first, if it was otherwise, or name another mass or container.",
            ("container", container.Name), ("held_mass_mg", $"{heldMg}"), ("mass_mg", $"{-e.MassMg}"), ("into", e.Mix ?? e.OtherContainer ?? ""));
    }
}
