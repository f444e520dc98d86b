using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>Whether something may be taken out of a container, or put into it.</summary>
public static class ContainerUse
{
    /// <exception cref="Refusal">CONTAINER_HELD, LOT_HELD.</exception>
    public static void RequireNotHeld(ContainerContents contents)
    {
        var container = contents.Container;
        if (container.Held)
            throw Refusal.Precondition(Reasons.ContainerHeld,
                $"{container.Label} is held: {container.HoldReason}. Use another container, or release it once the cause is settled.",
                ("container", container.Name), ("hold_reason", container.HoldReason));
        if (contents.HeldLot is { } lot)
            throw Refusal.Precondition(Reasons.LotHeld,
                $"{container.Label} holds some of {ResourceNames.IdOf(lot.Name)}, which is held: {lot.HoldReason}. Use a container without it, or release the lot once the cause is settled.",
                ("container", container.Name), ("lot", lot.Name), ("hold_reason", lot.HoldReason));
    }

    /// <exception cref="Refusal">CONTAINER_SPENT.</exception>
    public static void RequireNotSpent(ContainerRecord container)
    {
        if (container.State == Container.Types.State.Spent)
            throw Refusal.Precondition(Reasons.ContainerSpent,
                $"{container.Label} is spent: empty by the book, or thrown away. Use another container; if it is not empty, weigh it back first.",
                ("container", container.Name));
    }

    /// <summary>Nothing is drawn from what had not come in. A device's clock may run behind as far as it may run ahead.</summary>
    /// <exception cref="Refusal">TIME_OUT_OF_ORDER.</exception>
    public static void RequireReceived(ContainerContents contents, long mixMs, TimeZoneInfo zone)
    {
        var container = contents.Container;
        if (contents.Lots.Count == 0 || contents.Lots.Min(lot => lot.ReceiveMs) is var receiveMs && mixMs >= receiveMs - EventTime.ClockAllowance.TotalMilliseconds) return;
        var (mixed, received) = (Amounts.LocalTime(mixMs, zone), Amounts.LocalTime(receiveMs, zone));
        throw Refusal.Precondition(Reasons.TimeOutOfOrder,
            $"What is in {container.Label} came in at {received} and cannot have been mixed at {mixed}. Correct mix_time, or name the container that it was.",
            ("container", container.Name), ("receive_time", received), ("mix_time", mixed));
    }

    /// <exception cref="Refusal">CONTAINER_EXPIRED.</exception>
    public static void RequireInDate(ContainerRecord container, long atMs, TimeZoneInfo zone)
    {
        if (container.ExpireMs is not { } expireMs || atMs < expireMs) return;
        var (expired, at) = (Amounts.LocalTime(expireMs, zone), Amounts.LocalTime(atMs, zone));
        throw Refusal.Precondition(Reasons.ContainerExpired,
            $"{container.Label} may not be used from {expired} on (expiry date or opened shelf life), and it is {at}. Use another container; discard this one as its safety data sheet says.",
            ("container", container.Name), ("expire_time", expired), ("time", at));
    }

    /// <exception cref="Refusal">CONTAINER_SHORT.</exception>
    public static void RequireHolds(ContainerRecord container, long massMg)
    {
        if (massMg > container.RemainingMassMg)
            throw Refusal.Precondition(Reasons.ContainerShort,
                $"{container.Label} holds {Amounts.Grams(container.RemainingMassMg)} by the book, {Amounts.Grams(massMg)} were asked for. Take less, add a second container, or weigh it back if it holds more.",
                ("container", container.Name), ("remaining_mass_mg", $"{container.RemainingMassMg}"), ("mass_mg", $"{massMg}"));
    }

    /// <exception cref="Refusal">SITE_MISMATCH.</exception>
    public static void RequireSite(ContainerRecord container, string site)
    {
        if (container.Site != site)
            throw Refusal.Precondition(Reasons.SiteMismatch,
                $"{container.Label} stands at {ResourceNames.IdOf(container.Site)}, not at {ResourceNames.IdOf(site)}. Use a container that stands there, or record its move.",
                ("container", container.Name), ("container_site", container.Site), ("site", site));
    }
}
