using System.Globalization;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.DataSheets;

/// <summary>One printed figure, with the depth, mass and temperature that belong to it.</summary>
/// <remarks>
/// Each figure has a spread: how far a printed figure may lie from a model that is right, in ln or in K. Times: 0.20 for a thin
/// film, 0.25 where an operator, a vessel or a mould has its say (our choices; a maker's test of gel time depends on the
/// operator and on the mass).
/// </remarks>
/// <param name="Stated">The printed value, in <see cref="Unit"/>.</param>
/// <param name="TemperatureCelsius">Of resin and room, in °C.</param>
public abstract record SheetFigure(double Stated, double TemperatureCelsius)
{
    private protected const double ThinFilmLnSd = 0.20;
    private protected const double OperatorLnSd = 0.25;

    /// <summary>Unit of the printed value.</summary>
    public virtual string Unit => "h";

    /// <summary>Unit in which it is compared: ln, or K.</summary>
    public virtual string ResidualUnit => "ln";

    /// <summary>What it is, with depth and temperature, for people.</summary>
    public abstract string Name { get; }

    /// <summary>Standard deviation of its residual, in <see cref="ResidualUnit"/>.</summary>
    public abstract double Spread { get; }

    private protected double Kelvin => TemperatureCelsius + PieceRun.ZeroCelsius;

    internal virtual void Check() => CureRangeException.Check("Temperature of a figure", TemperatureCelsius, 5, 60, "°C");

    /// <summary>What a model says in place of the printed value, in <see cref="Unit"/>; always above zero.</summary>
    internal abstract double Modelled(Candidate candidate);

    /// <summary>Modelled against printed, in <see cref="ResidualUnit"/>; positive when the model says more.</summary>
    internal virtual double Residual(double modelled) => Math.Log(modelled / Stated);

    /// <summary>What the fit makes small: the residual in spreads.</summary>
    internal virtual double Misfit(double modelled) => Residual(modelled) / Spread;

    /// <summary>What else must hold for the figure to make sense.</summary>
    internal virtual IEnumerable<SheetFigure> Implied(DataSheet sheet) => [];

    private protected static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}

/// <summary>Time until a batch in its vessel starts to heat and thicken: mean conversion 0.20.</summary>
/// <remarks>0.20 is our choice, no source; see <see cref="MixingVessel"/> for how the batch loses heat.</remarks>
/// <param name="Hours">Pot life, in h.</param>
/// <param name="BatchMassMg">Mass of the batch, in mg.</param>
/// <param name="Vessel">What it stands in.</param>
/// <param name="TemperatureCelsius">Of mix and room, in °C.</param>
public sealed record PotLife(double Hours, long BatchMassMg, Vessel Vessel, double TemperatureCelsius)
    : SheetFigure(Hours, TemperatureCelsius)
{
    /// <inheritdoc/>
    public override string Name => Text($"Pot life of {BatchMassMg / 1000.0:0.#} g at {TemperatureCelsius:0.#} °C");

    /// <inheritdoc/>
    public override double Spread => OperatorLnSd;

    internal override void Check()
    {
        base.Check();
        CureRangeException.Check("Pot life", Hours, 0.02, 100, "h");
        CureRangeException.Check("Batch of the pot life", BatchMassMg, 10_000, 50_000_000, "mg");
    }

    internal override double Modelled(Candidate candidate) => MixingVessel.HoursToThicken(candidate, BatchMassMg, Vessel, Kelvin);
}

/// <summary>Time until a thin film stops flowing: conversion 1/√3 at constant temperature.</summary>
/// <param name="Hours">Gel time, in h.</param>
/// <param name="TemperatureCelsius">Of the film, in °C.</param>
public sealed record GelTime(double Hours, double TemperatureCelsius) : SheetFigure(Hours, TemperatureCelsius)
{
    /// <inheritdoc/>
    public override string Name => Text($"Gel time of a thin film at {TemperatureCelsius:0.#} °C");

    /// <inheritdoc/>
    public override double Spread => ThinFilmLnSd;

    internal override void Check()
    {
        base.Check();
        CureRangeException.Check("Gel time", Hours, 0.02, 500, "h");
    }

    internal override double Modelled(Candidate candidate) =>
        ThinFilm.HoursTo(GelPoint.DiepoxideDiamine, candidate.Resin.Reaction, Kelvin);
}

/// <summary>Time until a casting may leave its mould: Tg − T ≥ 0 K through its whole depth.</summary>
/// <param name="Hours">Demold time, in h.</param>
/// <param name="DepthMm">Depth of the casting, in mm.</param>
/// <param name="TemperatureCelsius">Of mix and room, in °C.</param>
public sealed record DemoldTime(double Hours, double DepthMm, double TemperatureCelsius) : SheetFigure(Hours, TemperatureCelsius)
{
    /// <inheritdoc/>
    public override string Name => Text($"Demold time of {DepthMm:0.#} mm at {TemperatureCelsius:0.#} °C");

    /// <inheritdoc/>
    public override double Spread => OperatorLnSd;

    internal override void Check()
    {
        base.Check();
        CureRangeException.Check("Demold time", Hours, 0.1, 1000, "h");
        CureRangeException.Check("Depth of the demold time", DepthMm, 0.5, 150, "mm");
    }

    internal override double Modelled(Candidate candidate) => candidate.Cast(DepthMm, TemperatureCelsius).DemoldHours;

    // A maker who prints a hotter peak of no greater depth does not mind.
    internal override IEnumerable<SheetFigure> Implied(DataSheet sheet)
    {
        var maySmoke = sheet.Figures.OfType<MeasuredPeak>()
            .Any(peak => peak.PeakCelsius > DemoldedPeak.RunawayCelsius && peak.DepthMm <= DepthMm);
        return maySmoke ? [] : [new DemoldedPeak(DepthMm, TemperatureCelsius)];
    }
}

/// <summary>Time until nothing more happens: 0.98 of the conversion at which the glass stops the cure.</summary>
/// <remarks>
/// At room temperature that is never conversion 1: the cure stops where Tg(α) = T + 18 K (18 K and 0.98 are our choices, no
/// source). Spread 0.50: makers mean different things by it and round to a week (common practice, no source).
/// </remarks>
/// <param name="Hours">Full cure, in h.</param>
/// <param name="TemperatureCelsius">Of a thin piece, in °C.</param>
public sealed record FullCureTime(double Hours, double TemperatureCelsius) : SheetFigure(Hours, TemperatureCelsius)
{
    /// <inheritdoc/>
    public override string Name => Text($"Full cure at {TemperatureCelsius:0.#} °C");

    /// <inheritdoc/>
    public override double Spread => 0.50;

    internal override void Check()
    {
        base.Check();
        CureRangeException.Check("Full cure", Hours, 1, 3000, "h");
    }

    internal override double Modelled(Candidate candidate) => ThinFilm.HoursTo(
        0.98 * ThinFilm.FinalConversion(candidate.Resin.Reaction.Glass, Kelvin), candidate.Resin.Reaction, Kelvin);
}

/// <summary>Hottest point of a casting.</summary>
/// <remarks>
/// Spread: 1.5 K of a thermometer and 3 K of its place (our choices), and 15 % of the rise for constant heat capacity and for
/// sides that the model leaves out (our choice).
/// </remarks>
/// <param name="PeakCelsius">Peak, in °C, at least 1 K above the room.</param>
/// <param name="DepthMm">Depth of the casting, in mm.</param>
/// <param name="TemperatureCelsius">Of mix and room, in °C.</param>
public sealed record MeasuredPeak(double PeakCelsius, double DepthMm, double TemperatureCelsius)
    : SheetFigure(PeakCelsius, TemperatureCelsius)
{
    /// <inheritdoc/>
    public override string Unit => "°C";

    /// <inheritdoc/>
    public override string ResidualUnit => "K";

    /// <inheritdoc/>
    public override string Name => Text($"Peak of {DepthMm:0.#} mm at {TemperatureCelsius:0.#} °C");

    /// <inheritdoc/>
    public override double Spread
    {
        get
        {
            var ofTheRise = 0.15 * (PeakCelsius - TemperatureCelsius);
            return Math.Sqrt(1.5 * 1.5 + 3 * 3 + ofTheRise * ofTheRise);
        }
    }

    internal override void Check()
    {
        base.Check();
        CureRangeException.Check("Peak", PeakCelsius, TemperatureCelsius + 1, 300, "°C");
        CureRangeException.Check("Depth of the peak", DepthMm, 0.5, 150, "mm");
    }

    internal override double Modelled(Candidate candidate) => candidate.Cast(DepthMm, TemperatureCelsius).PeakCelsius;

    internal override double Residual(double modelled) => modelled - PeakCelsius;
}

/// <summary>What a demold time says besides: its casting was fit to be demolded, so it stayed below 80 °C, and no more.</summary>
/// <remarks>
/// Without it a demold time of a few hours beside a gel time of a day would be explained by a casting at 160 °C. From 80 °C on a
/// casting smokes and cracks (common practice, no source); spread 10 K (our choice). One-sided, see <see cref="Hinge"/>.
/// </remarks>
internal sealed record DemoldedPeak(double DepthMm, double TemperatureCelsius)
    : SheetFigure(RunawayCelsius, TemperatureCelsius)
{
    public const double RunawayCelsius = 80;

    public override string Unit => "°C";

    public override string ResidualUnit => "K";

    public override string Name => Text($"Peak of the demolded {DepthMm:0.#} mm at {TemperatureCelsius:0.#} °C, at most");

    public override double Spread => 10;

    internal override double Modelled(Candidate candidate) => candidate.Cast(DepthMm, TemperatureCelsius).PeakCelsius;

    internal override double Residual(double modelled) => modelled - Stated;

    internal override double Misfit(double modelled) => Hinge.Softened(base.Misfit(modelled));
}

/// <summary>Deepest single pour that the maker allows: at this depth ψ ≤ 0.40, and no more is known.</summary>
/// <remarks>
/// One-sided, see <see cref="Hinge"/>: makers print a smaller depth than the resin could bear, for reasons of their own (bubbles,
/// yellowing), so a model that could go deeper is not wrong. ψ is that of <see cref="RunawayScreen"/> for a casting that stands
/// on no board; 0.40 lies in its class of caution. Spread 0.20 in ln ψ, for rounded depths and the makers' idea of caution (our
/// choices).
/// </remarks>
/// <param name="DepthMm">Deepest pour, in mm.</param>
/// <param name="TemperatureCelsius">Of mix and room, in °C.</param>
public sealed record MaximumDepth(double DepthMm, double TemperatureCelsius) : SheetFigure(DepthMm, TemperatureCelsius)
{
    private const double AllowedPsi = 0.40;

    /// <inheritdoc/>
    public override string Unit => "mm";

    /// <inheritdoc/>
    public override string Name => Text($"Maximum depth at {TemperatureCelsius:0.#} °C");

    /// <inheritdoc/>
    public override double Spread => 0.20;

    internal override void Check()
    {
        base.Check();
        CureRangeException.Check("Maximum depth", DepthMm, 0.5, 200, "mm");
    }

    // ψ is proportional to the depth.
    internal override double Modelled(Candidate candidate) => AllowedPsi / RunawayScreen.Psi(
        candidate.Resin, 1e-3, Kelvin, PieceRun.FacesWPerM2K(0) * candidate.HeatLossFactor);

    internal override double Misfit(double modelled) => Hinge.Softened(-base.Misfit(modelled));
}

/// <summary>The misfit of a limit: how far it is passed, and nothing while it is kept.</summary>
internal static class Hinge
{
    /// <summary>½ ln(1 + e^(2z)) for a limit passed by z spreads; the softness of half a spread is our choice.</summary>
    public static double Softened(double z) => (Math.Max(2 * z, 0) + Math.Log(1 + Math.Exp(-Math.Abs(2 * z)))) / 2;
}
