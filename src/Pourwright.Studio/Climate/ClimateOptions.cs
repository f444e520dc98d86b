namespace Pourwright.Studio.Climate;

/// <summary>Settings of a node for room climate.</summary>
public sealed record ClimateOptions
{
    /// <summary>From the first new reading at a bench to the forecasts made from it, so that a chatty logger costs one forecast, not many.</summary>
    /// <remarks>Ten minutes move no cure that anybody waits for; common practice, no source.</remarks>
    public TimeSpan ForecastDelay { get; init; } = TimeSpan.FromMinutes(10);
}
