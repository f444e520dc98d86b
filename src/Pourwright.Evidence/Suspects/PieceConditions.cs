namespace Pourwright.Evidence.Suspects;

/// <summary>What the cure engine says of one piece in its room as recorded, were its lot a good one.</summary>
/// <param name="AtHours">Elapsed from the first pour until somebody looked, in h.</param>
/// <param name="IsDemold">Whether it was then taken out of its mould; else it was found or handed over.</param>
/// <param name="Conversion">Least over all resin, 0 to 1, likely case.</param>
/// <param name="TgCelsius">Least glass transition over all resin, in °C, likely case.</param>
/// <param name="SlowTgCelsius">The same of a pour so slow that one in ten of good ones is slower.</param>
/// <param name="FastTgCelsius">The same of a pour so quick that one in ten is quicker.</param>
/// <param name="WorkCelsius">As warm as the room where it was felt, in °C: below it resin is glass, above it gives way.</param>
/// <param name="SlowPeakCelsius">Hottest point by then of the slow one, in °C.</param>
/// <param name="FastPeakCelsius">Hottest point by then of the quick one, in °C.</param>
/// <param name="PeakLimitCelsius">Above it a casting is taken to be too hot, in °C.</param>
public sealed record CureAtLook(
    double AtHours, bool IsDemold, double Conversion, double TgCelsius, double SlowTgCelsius, double FastTgCelsius, double WorkCelsius,
    double SlowPeakCelsius, double FastPeakCelsius, double PeakLimitCelsius)
{
    /// <summary>Whether the room cured a good lot too little: true where even a quick pour is soft, false where even a slow one is glass; null between.</summary>
    public bool? IsTooLittle => FastTgCelsius < WorkCelsius ? true : SlowTgCelsius >= WorkCelsius ? false : null;
}

/// <summary>What is on record of one piece that physics can speak about; null is unknown, never fine.</summary>
public sealed record PieceConditions
{
    public CureAtLook? Cure { get; init; }

    /// <summary>Coldest air of the cure, in °C.</summary>
    public double? RoomLowCelsius { get; init; }

    /// <summary>Coldest that the data sheet allows, in °C.</summary>
    public double? MinCureCelsius { get; init; }

    /// <summary>Time colder than that, in h.</summary>
    public double? BelowMinimumHours { get; init; }

    /// <summary>Dampest air of the cure, relative, in %.</summary>
    public double? HumidityPercent { get; init; }

    /// <summary>Least margin of a surface, else the air, above the dew point, in K.</summary>
    public double? DewPointMarginKelvin { get; init; }

    /// <summary>Weighed B per A against the data sheet's, in %, of the mix farthest off; positive is too much B.</summary>
    public double? RatioDeviationPercent { get; init; }

    /// <summary>What the data sheet allows of it, in %.</summary>
    public double? RatioTolerancePercent { get; init; }

    /// <summary>Deepest layer, in mm.</summary>
    public double? DepthMm { get; init; }

    /// <summary>Deepest that the data sheet allows, in mm.</summary>
    public double? MaxDepthMm { get; init; }

    /// <summary>Coldest mix when poured, in °C.</summary>
    public double? ResinCelsius { get; init; }

    public double? WoodMoisturePercent { get; init; }
}
