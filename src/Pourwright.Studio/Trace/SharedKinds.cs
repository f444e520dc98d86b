namespace Pourwright.Studio.Trace;

/// <summary>What pieces can share, as SharedFactor.kind spells it.</summary>
public static class SharedKinds
{
    public const string Mix = "mix";
    public const string Container = "container";
    public const string Lot = "lot";

    /// <summary>Its value is the bench's name, a blank, and the local day as yyyy-MM-dd.</summary>
    public const string BenchDay = "bench-day";
    public const string Mixer = "mixer";
    public const string Scale = "scale";
}
