namespace Pourwright.Studio.Classes;

/// <summary>Settings of a node for classes. Every default is common practice, no source.</summary>
public sealed record ClassOptions
{
    /// <summary>How long an offered seat is kept. Never beyond the begin of the pour.</summary>
    public TimeSpan OfferLasts { get; init; } = TimeSpan.FromHours(48);

    /// <summary>Minute of the local day by which moulds and wood are due on their day.</summary>
    public int PrepDueMinute { get; init; } = 18 * 60;

    /// <summary>Local days before the pour by which the wood is metered.</summary>
    public int WoodMeteringDays { get; init; } = 1;

    /// <summary>Before the pour: by then the sealant has had its night, and a leak can still be mended.</summary>
    public TimeSpan LeakCheckAhead { get; init; } = TimeSpan.FromHours(2);

    /// <summary>Before the pour: by then containers have to stand in the warm.</summary>
    public TimeSpan LotsWarmedAhead { get; init; } = TimeSpan.FromHours(4);
}
