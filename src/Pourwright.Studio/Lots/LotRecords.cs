using System.Globalization;
using Google.Type;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>A row of `lots`.</summary>
public sealed record LotRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required Part Part { get; init; }
    public string? ResinSystem { get; init; }
    public required string Supplier { get; init; }
    public required string SupplierLotCode { get; init; }
    public required string Content { get; init; }

    /// <summary>`yyyy-MM-dd`: the first day on which it is refused.</summary>
    public string? ExpiryDate { get; init; }
    public required long ReceiveMs { get; init; }
    public required long ReceivedMassMg { get; init; }
    public bool Held { get; init; }
    public string HoldReason { get; init; } = "";

    /// <summary>As scanned, FNC1 as 0x1D; empty where no label was read.</summary>
    public string LabelText { get; init; } = "";

    /// <summary>14 digits, of the label; else empty.</summary>
    public string Gtin { get; init; } = "";

    /// <summary>JSON list of Caution.</summary>
    public string Cautions { get; init; } = "[]";

    public Lot ToProto() => new()
    {
        Name = Name,
        Part = Part,
        ResinSystem = ResinSystem ?? "",
        Supplier = Supplier,
        SupplierLotCode = SupplierLotCode,
        Content = Content,
        ExpiryDate = Expiry() is { } day ? new Date { Year = day.Year, Month = day.Month, Day = day.Day } : null,
        ReceiveTime = Instants.ToTimestamp(ReceiveMs),
        ReceivedMassMg = ReceivedMassMg,
        State = Held ? Lot.Types.State.Held : Lot.Types.State.Released,
        HoldReason = HoldReason,
        LabelText = LabelText,
        Gtin = Gtin,
        Cautions = { MessageListJson.Read<Caution>(Cautions) },
    };

    public DateOnly? Expiry() =>
        ExpiryDate is null ? null : DateOnly.ParseExact(ExpiryDate, "yyyy-MM-dd", CultureInfo.InvariantCulture);
}

/// <summary>A row of `containers`.</summary>
public sealed record ContainerRecord
{
    public required string Name { get; init; }

    /// <summary>The code on its label: the last part of its name.</summary>
    public string Label => ResourceNames.IdOf(Name);
    public required string Studio { get; init; }
    public required string Site { get; init; }
    public required Part Part { get; init; }
    public string? ResinSystem { get; init; }
    public required Container.Types.State State { get; init; }

    /// <summary>The container itself; a held lot inside counts as well, see <see cref="ContainerContents"/>.</summary>
    public bool Held { get; init; }
    public string HoldReason { get; init; } = "";

    /// <summary>What was in it when it came in or was first filled.</summary>
    public required long ReceivedMassMg { get; init; }

    /// <summary>The sum of its events; never negative.</summary>
    public required long RemainingMassMg { get; init; }

    /// <summary>When it was opened, or what was filled into it, whichever was first: decanting does not make resin young.</summary>
    public long? OpenMs { get; init; }
    public long? ExpireMs { get; init; }
}

/// <summary>A row of `container_events`. The row's `sequence` is given by the store.</summary>
public sealed record ContainerEventRecord
{
    public required string Container { get; init; }

    /// <summary>One of <see cref="ContainerEventKinds"/>.</summary>
    public required string Kind { get; init; }

    /// <summary>Into the container is positive.</summary>
    public long MassMg { get; init; }
    public string? Lot { get; init; }
    public string? OtherContainer { get; init; }

    /// <summary>mixed: into which; opened: by drawing for which; corrected: because of which.</summary>
    public string? Mix { get; init; }
    public string? Site { get; init; }
    public string Reason { get; init; } = "";
    public required long EventMs { get; init; }

    /// <summary>The correction that it is due to; null for what was recorded as it happened.</summary>
    public long? Correction { get; init; }

    /// <summary>corrected: sequence of the event whose mass it takes back.</summary>
    public long? Corrects { get; init; }

    /// <summary>Sequence of the event in whose place it stands; null where it stands in its own.</summary>
    public long? Place { get; init; }
}

/// <summary>What can happen to a container, as the column `kind` spells it.</summary>
public static class ContainerEventKinds
{
    public const string Received = "received";
    public const string Opened = "opened";
    public const string Filled = "filled";
    public const string Decanted = "decanted";
    public const string Mixed = "mixed";
    public const string Weighed = "weighed";
    public const string Moved = "moved";
    public const string Discarded = "discarded";
    public const string Held = "held";
    public const string Released = "released";
    public const string Corrected = "corrected";
}

/// <summary>What one mix drew from one container, and where that stands in the container's order of events.</summary>
public sealed record DrawRecord
{
    public required string Mix { get; init; }
    public required string Container { get; init; }
    public required Part Part { get; init; }
    public required long MassMg { get; init; }
    public required long Sequence { get; init; }
}

/// <summary>One lot in what a mix drew from a container; without a lot once for each vessel on its way that was filled from others alone.</summary>
public sealed record DrawnLot(string Mix, string Container, Part Part, string? Lot);

/// <summary>A container and every lot that was put into it, directly or through other containers.</summary>
public sealed record ContainerContents(ContainerRecord Container, IReadOnlyList<LotRecord> Lots)
{
    public LotRecord? HeldLot => Lots.FirstOrDefault(lot => lot.Held);

    public Container ToProto() => new()
    {
        Name = Container.Name,
        Site = Container.Site,
        Part = Container.Part,
        ResinSystem = Container.ResinSystem ?? "",
        Lots = { Lots.Select(lot => lot.Name) },
        State = Container.State,
        Held = Container.Held || HeldLot is not null,
        HoldReason = Container.Held ? Container.HoldReason : HeldLot?.HoldReason ?? "",
        ReceivedMassMg = Container.ReceivedMassMg,
        RemainingMassMg = Container.RemainingMassMg,
        OpenTime = Instants.ToTimestamp(Container.OpenMs),
        ExpireTime = Instants.ToTimestamp(Container.ExpireMs),
    };
}
