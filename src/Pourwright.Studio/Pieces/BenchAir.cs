namespace Pourwright.Studio.Pieces;

/// <summary>The air at a bench: °C and %.</summary>
public sealed record BenchAir(double TemperatureCelsius, double RelativeHumidityPercent, long ReadingMs);
