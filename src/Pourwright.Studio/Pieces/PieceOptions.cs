namespace Pourwright.Studio.Pieces;

/// <summary>Settings of a node for pieces.</summary>
public sealed record PieceOptions
{
    /// <summary>Least moisture of wood to pour on, in %. 8 to 12 % is the trade's usual window: common practice, no source.</summary>
    public double WoodMoistureMinPercent { get; init; } = 8;

    /// <inheritdoc cref="WoodMoistureMinPercent"/>
    public double WoodMoistureMaxPercent { get; init; } = 12;
}
