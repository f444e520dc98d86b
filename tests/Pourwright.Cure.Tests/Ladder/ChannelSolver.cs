using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Ladder;

/// <summary>Half a channel of resin between walls of wood, in two dimensions: a plain check of rules made for one.</summary>
/// <remarks>
/// Cell-centred finite volumes, explicit Euler; 16 cells through the depth, 12 across half the resin (finer towards the wall
/// where it is wide), 12 across 80 mm of wood. Mirror in the middle of the channel. Base 4, top and outer side 9 W/(m² K). Wood
/// 600 kg/m³, 1700 J/(kg K), 0.14 W/(m K): inside the usual ranges; 1/(0.08/0.14 + 1/9) = 1.47 W/(m² K) for the wall alone.
/// </remarks>
internal sealed class ChannelSolver
{
    private const int Rows = 16, ResinColumns = 12, Columns = 24;
    private const double WoodMetres = 0.08, WoodConductivity = 0.14, WoodHeat = 600 * 1700.0;
    private const double Base = 4, Open = 9, Air = 293.15;
    private readonly double RowMetres;

    private readonly ResinCureModel resin = ResinCureModel.DeepCasting;
    private readonly double[] width = new double[Columns];
    private readonly double[,] kelvin = new double[Columns, Rows], conversion = new double[Columns, Rows];
    private readonly double stepSeconds;

    public ChannelSolver(double widthMm, double depthMm = 40)
    {
        RowMetres = depthMm / 1000 / Rows;
        var half = widthMm / 2000;
        var power = half >= 0.1 ? 1.5 : 1;
        double FromWall(int face) => half * Math.Pow((double)face / ResinColumns, power);
        for (var i = 0; i < ResinColumns; i++)
            width[ResinColumns - 1 - i] = FromWall(i + 1) - FromWall(i);
        Array.Fill(width, WoodMetres / (Columns - ResinColumns), ResinColumns, Columns - ResinColumns);
        for (var i = 0; i < Columns; i++)
            for (var j = 0; j < Rows; j++)
                kelvin[i, j] = Air;
        var narrowest = width.Min();
        stepSeconds = 0.7 / (2 * 1.4e-7 * (1 / (narrowest * narrowest) + 1 / (RowMetres * RowMetres)));
    }

    /// <summary>Hottest point of the middle of the channel, in °C.</summary>
    public double CentrePeakCelsius { get; private set; }

    /// <summary>Hottest point of the resin at the wall, in °C.</summary>
    public double EdgePeakCelsius { get; private set; }

    /// <summary>Gel of the last point, in h.</summary>
    public double LastGelHours { get; private set; } = double.PositiveInfinity;

    /// <summary>Tg − T ≥ 0 everywhere, in h.</summary>
    public double DemoldHours { get; private set; } = double.PositiveInfinity;

    public ChannelSolver Run(double hours)
    {
        for (var step = 0; step * stepSeconds < hours * 3600 && double.IsInfinity(DemoldHours); step++)
        {
            Step();
            if (step % 20 == 0)
                See(step * stepSeconds / 3600);
        }
        return this;
    }

    private void Step()
    {
        var flux = new double[Columns, Rows];
        for (var i = 0; i < Columns; i++)
            for (var j = 0; j < Rows; j++)
            {
                if (i + 1 < Columns)
                    Pass(flux, i, j, i + 1, j, RowMetres / (width[i] / 2 / K(i) + width[i + 1] / 2 / K(i + 1)));
                if (j + 1 < Rows)
                    Pass(flux, i, j, i, j + 1, width[i] * K(i) / RowMetres);
            }
        for (var i = 0; i < Columns; i++)
        {
            flux[i, 0] += width[i] * (Air - kelvin[i, 0]) / (1 / Base + RowMetres / 2 / K(i));
            flux[i, Rows - 1] += width[i] * (Air - kelvin[i, Rows - 1]) / (1 / Open + RowMetres / 2 / K(i));
        }
        for (var j = 0; j < Rows; j++)
            flux[Columns - 1, j] += RowMetres * (Air - kelvin[Columns - 1, j]) / (1 / Open + width[^1] / 2 / WoodConductivity);
        Advance(flux);
    }

    private void Advance(double[,] flux)
    {
        var heat = resin.DensityKgPerM3 * resin.SpecificHeatJPerKgK;
        for (var i = 0; i < Columns; i++)
            for (var j = 0; j < Rows; j++)
            {
                var cured = i < ResinColumns ? stepSeconds * resin.Reaction.RatePerSecond(conversion[i, j], kelvin[i, j]) : 0;
                conversion[i, j] += cured;
                kelvin[i, j] += stepSeconds * flux[i, j] / (width[i] * RowMetres * (i < ResinColumns ? heat : WoodHeat))
                    + cured * resin.HeatOfReactionJPerKg / resin.SpecificHeatJPerKgK;
            }
    }

    private void Pass(double[,] flux, int i, int j, int ii, int jj, double conductance)
    {
        var watts = conductance * (kelvin[ii, jj] - kelvin[i, j]);
        flux[i, j] += watts;
        flux[ii, jj] -= watts;
    }

    private double K(int column) => column < ResinColumns ? resin.ConductivityWPerMK : WoodConductivity;

    private void See(double hours)
    {
        var (least, glass) = (1.0, double.MaxValue);
        for (var i = 0; i < ResinColumns; i++)
            for (var j = 0; j < Rows; j++)
            {
                least = Math.Min(least, conversion[i, j]);
                glass = Math.Min(glass, resin.Reaction.Glass.Kelvin(conversion[i, j]) - kelvin[i, j]);
            }
        for (var j = 0; j < Rows; j++)
        {
            CentrePeakCelsius = Math.Max(CentrePeakCelsius, kelvin[0, j] - 273.15);
            EdgePeakCelsius = Math.Max(EdgePeakCelsius, kelvin[ResinColumns - 1, j] - 273.15);
        }
        if (least >= 0.57735)
            LastGelHours = Math.Min(LastGelHours, hours);
        if (glass >= 0)
            DemoldHours = Math.Min(DemoldHours, hours);
    }
}
