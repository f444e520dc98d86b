namespace Pourwright.Studio.Seals;

/// <summary>What a check came to, with what it cannot show.</summary>
public sealed record CheckSummary
{
    public required long FaultCount { get; init; }
    public required int ChainCount { get; init; }
    public required long LinkCount { get; init; }

    /// <summary>Rows of evidence; a batch of readings has one link.</summary>
    public required long RecordCount { get; init; }
    public required int SealCount { get; init; }

    /// <summary>Null where no seal from outside was given.</summary>
    public required DateTimeOffset? KeptSealTime { get; init; }

    /// <summary>Links after the seal from outside.</summary>
    public required long UnsealedCount { get; init; }

    /// <summary>Rows that were there before there were chains.</summary>
    public required long AdoptedCount { get; init; }

    /// <summary>Names that were forgotten since they were recorded.</summary>
    public required long ErasedCount { get; init; }

    public string ToText() => string.Join(' ', new[] { Found(), Reach(), Adopted(), Erased() }.Where(text => text.Length > 0));

    private string Found() => FaultCount == 0
        ? $"No fault: {RecordCount} records behind {LinkCount} links in {ChainCount} chains are as the chains say, and so are {SealCount} seals."
        : $"{FaultCount} faults among {LinkCount} links in {ChainCount} chains. Leave the file as it is, copy it away, and compare it with a backup from before.";

    private string Reach() => KeptSealTime is { } time
        ? $"The seal of {time:u} was compared. {UnsealedCount} links came after it: whoever may write the file could have written those anew."
        : "No seal from outside was compared: whoever may write the file could have written all links and seals anew. Keep a seal elsewhere and compare with it.";

    private string Adopted() => AdoptedCount == 0 ? "" : $"{AdoptedCount} records are older than the chains: what was changed of them before is not seen.";

    private string Erased() => ErasedCount == 0 ? "" : $"{ErasedCount} names were forgotten on purpose, each by an entry of the chain: what stood there before is known to nobody.";
}
