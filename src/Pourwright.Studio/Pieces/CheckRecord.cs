using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>A row of `checks`: inserted once, never changed.</summary>
public sealed record CheckRecord
{
    public required string Name { get; init; }
    public required string Piece { get; init; }
    public required long CheckMs { get; init; }
    public required string Checker { get; init; }
    public Check.Types.Touch Touch { get; init; }
    public double? ShoreD { get; init; }
    public bool ShoreDBelowScale { get; init; }
    public double? SurfaceTemperatureCelsius { get; init; }
    public double? ThicknessMm { get; init; }
    public string Note { get; init; } = "";
    public required long RecordMs { get; init; }

    /// <summary>Gates that it confirmed by the forecast of its time, bit 1 &lt;&lt; gate; 0 once a further layer was poured, or a pour was found to have been otherwise: that forecast was of other resin.</summary>
    public int Confirms { get; init; }

    public bool IsConfirming(Gate gate) => (Confirms & (1 << (int)gate)) != 0;

    public Check ToProto()
    {
        var check = new Check
        {
            Name = Name,
            CheckTime = Instants.ToTimestamp(CheckMs),
            Checker = Checker,
            Touch = Touch,
            ShoreDBelowScale = ShoreDBelowScale,
            Note = Note,
        };
        if (ShoreD is { } shoreD) check.ShoreD = shoreD;
        if (SurfaceTemperatureCelsius is { } surface) check.SurfaceTemperatureCelsius = surface;
        if (ThicknessMm is { } thickness) check.ThicknessMm = thickness;
        return check;
    }
}
