namespace Pourwright.Cure.Climate;

/// <summary>How a room follows what drives it, weather or heating: dT/dt = (T_drive + offset − T)/τ.</summary>
/// <remarks>
/// First order, one mass: a room with thick walls answers at first quicker and in the end more slowly than one τ can say, and one
/// that is heated cools at another pace than it warms.
/// </remarks>
/// <param name="TauHours">Time constant, in h: after a step of the drive 63 % of it are done.</param>
/// <param name="OffsetKelvin">By how much the room stands above its drive, in K.</param>
public sealed record RoomLag(double TauHours, double OffsetKelvin)
{
    /// <summary>Time constant of a room that nobody has measured, in h: common practice, no source.</summary>
    public const double UnknownTauHours = 6;

    /// <summary>Air at a later time, in °C, from what it is at an earlier one: exact for a drive of straight lines and jumps.</summary>
    /// <remarks>Along D(t) = D0 + m t: T = D + offset − m τ + (T0 − D0 − offset + m τ) e^(−t/τ).</remarks>
    public double Celsius(AirDrive drive, double fromCelsius, double fromHours, double toHours)
    {
        var celsius = fromCelsius;
        foreach (var (value, slope, length) in drive.Lines(fromHours, toHours))
        {
            var behind = OffsetKelvin - slope * TauHours;
            celsius = value + slope * length + behind + (celsius - value - behind) * Math.Exp(-length / TauHours);
        }
        return celsius;
    }
}
