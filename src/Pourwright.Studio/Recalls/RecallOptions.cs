namespace Pourwright.Studio.Recalls;

/// <summary>Settings of the section <c>Recalls</c>. Every default is common practice, no source.</summary>
public sealed record RecallOptions
{
    /// <summary>From the notice to asking again, where nobody answered.</summary>
    public TimeSpan FirstChaseAfter { get; init; } = TimeSpan.FromHours(24);

    /// <summary>From the notice to asking for the last time.</summary>
    public TimeSpan SecondChaseAfter { get; init; } = TimeSpan.FromHours(72);

    /// <summary>From the notice to asking the owner to go after those who did not answer. Nobody writes to them after that.</summary>
    public TimeSpan HandOverAfter { get; init; } = TimeSpan.FromHours(96);
}
