using System.Globalization;

namespace Pourwright.Evidence.Suspects;

/// <summary>What the conditions of one piece say of what may have caused its defect: for, against or unknown, each with its reason.</summary>
/// <remarks>
/// Which rule belongs to which defect is in <see cref="Rules"/>; their limits are those of <see cref="Bands"/>. All of it is common
/// practice, no source, but what the cure engine says, which is a model. A rule speaks of what it names and of no more: a dry room
/// clears the room and accuses nobody.
/// </remarks>
public static class PhysicalRules
{
    private const double DampPercent = 70, NearDewKelvin = 3, WetWoodPercent = 12, ColdResinCelsius = 20;

    private static readonly Factor[] Weighing = [Factor.RatioDeviation, Factor.Mix, Factor.Scale];

    /// <summary>A look at one condition: which way it speaks of the factors named, and why.</summary>
    private sealed record Rule(Func<PieceConditions, (Bearing Bearing, string Reason)> Judge, params Factor[] Factors)
    {
        /// <summary>Cleared where the rule speaks for its factors, and left alone otherwise.</summary>
        public Factor[] Cleared { get; init; } = [];
    }

    private static readonly Rule Ratio = new(OfRatio, Weighing) { Cleared = [Factor.LotA, Factor.LotB, Factor.PigmentLot] };
    private static readonly Rule Cold = new(OfCold, Factor.Temperature);
    private static readonly Rule Damp = new(OfHumidity, Factor.Humidity);
    private static readonly Rule Dew = new(OfDewPoint, Factor.DewPointMargin);
    private static readonly Rule Wood = new(OfWood, Factor.WoodMoisture);
    private static readonly Rule ColdResin = new(OfResin, Factor.Mix);
    private static readonly Rule Heat = new(OfHeat, Factor.Depth);
    private static readonly Rule Early = new(OfDemold, Factor.HoursToDemold, Factor.ConversionAtDemold);

    private static readonly Dictionary<DefectKind, Rule[]> Rules = new()
    {
        [DefectKind.Soft] = [Ratio, Cold],
        [DefectKind.LowHardness] = [Ratio, Cold],
        [DefectKind.SoftPatches] = [ColdResin],
        [DefectKind.TackySkin] = [Damp, Dew],
        [DefectKind.Bubbles] = [Wood, ColdResin],
        [DefectKind.Cracks] = [Heat],
        [DefectKind.Cloudy] = [Damp, Dew, Wood, ColdResin],
        [DefectKind.Delamination] = [Wood, Early],
        [DefectKind.LayerSplit] = [Damp, Dew],
        [DefectKind.Warp] = [Early],
    };

    /// <summary>Everything that can be said; nothing where the defect is one that conditions do not tell of.</summary>
    public static IReadOnlyList<PhysicalEvidence> Of(string piece, DefectKind kind, PieceConditions conditions)
    {
        var direct = Rules.GetValueOrDefault(kind, []).SelectMany(rule => Of(piece, rule, conditions)).ToArray();
        // What was weighed is known better than what a course of cure says of it.
        var told = direct.Where(e => e.Factor == Factor.RatioDeviation && e.Bearing != Bearing.Unknown).Select(e => e.Factor).ToHashSet();
        return [.. kind is DefectKind.Soft or DefectKind.LowHardness ? OfCure(piece, conditions.Cure).Where(e => !told.Contains(e.Factor)) : [], .. direct];
    }

    private static IEnumerable<PhysicalEvidence> OfCure(string piece, CureAtLook? cure)
    {
        if (cure is null)
            return [new(piece, Factor.ConversionAtDemold, null, Bearing.Unknown, "Too little of the room, or no time of demold, is on record to compute its cure.")];
        var reached = $"{Seen(cure)}, a good lot in the room as recorded has a conversion of {Number(cure.Conversion, 2)} and is hard up to {Range(cure)} °C";
        return cure.IsTooLittle is { } tooLittle
            ? PhysicalEvidence.OfCure(piece, tooLittle, tooLittle
                ? $"{reached}, below the {Number(cure.WorkCelsius)} °C of the room where it is felt: the room cured it too little, whatever the lot."
                : $"{reached}, above the {Number(cure.WorkCelsius)} °C of the room where it is felt: the room should have cured it.")
            : [new(piece, Factor.ConversionAtDemold, null, Bearing.Unknown, $"{reached}; the room where it is felt has {Number(cure.WorkCelsius)} °C, which is too close to tell.")];
    }

    private static IEnumerable<PhysicalEvidence> Of(string piece, Rule rule, PieceConditions conditions)
    {
        var (bearing, reason) = rule.Judge(conditions);
        var named = rule.Factors.Select(factor => new PhysicalEvidence(piece, factor, null, bearing, reason));
        return bearing switch
        {
            Bearing.For => named.Concat(rule.Cleared.Select(factor => new PhysicalEvidence(piece, factor, null, Bearing.Against, reason))),
            // Weighed right says nothing of whether scale and stirring were.
            Bearing.Against => named.Where(e => e.Factor is not (Factor.Mix or Factor.Scale)),
            _ => named.Take(1),
        };
    }

    // With B short by d % at least d % of A finds no partner; with B over by d %, d/(100 + d) of B stays behind and softens.
    // Stoichiometry of two parts that react with each other alone, from memory.
    private static (Bearing, string) OfRatio(PieceConditions c)
    {
        if (c is not { RatioDeviationPercent: { } off, RatioTolerancePercent: { } allowed })
            return (Bearing.Unknown, "What was weighed is not on record.");
        var said = Math.Abs(off) < 0.05 ? "B is at its ratio" : $"B is {Number(Math.Abs(off), 1)} % {(off < 0 ? "short" : "over")}, {Number(allowed, 1)} % are allowed";
        if (Math.Abs(off) <= allowed)
            return (Bearing.Against, $"{said}: the ratio as weighed is in order. It says nothing of how well it was stirred, nor of the scale.");
        return (Bearing.For, off < 0
            ? $"{said}: at least {Number(-off, 1)} % of A finds no partner. How much softer that makes it is not known."
            : $"{said}: at least {Number(100 * off / (100 + off), 1)} % of B stays behind and softens. How much is not known.");
    }

    private static (Bearing, string) OfCold(PieceConditions c) => c is not { BelowMinimumHours: { } hours, MinCureCelsius: { } least, RoomLowCelsius: { } low }
        ? (Bearing.Unknown, "The room of its cure is not on record, or too little of it.")
        : hours >= 0.05
            ? (Bearing.For, $"For {Number(hours, 1)} h the room was colder than the {Number(least, 1)} °C that the data sheet asks for, {Number(low, 1)} °C at the lowest.")
            : (Bearing.Against, $"The room never was colder than the {Number(least, 1)} °C that the data sheet asks for; {Number(low, 1)} °C was the lowest.");

    private static (Bearing, string) OfHumidity(PieceConditions c) => Above(c.HumidityPercent, DampPercent, "%", "The air of its cure had a humidity of up to", "Humidity was not recorded.");

    private static (Bearing, string) OfWood(PieceConditions c) => Above(c.WoodMoisturePercent, WetWoodPercent, "%", "Its wood had a moisture of", "The moisture of its wood was not recorded.");

    private static (Bearing, string) OfDewPoint(PieceConditions c) =>
        Below(c.DewPointMarginKelvin, NearDewKelvin, "K", "The least margin above the dew point was", "How close it was to the dew point is not known.");

    private static (Bearing, string) OfResin(PieceConditions c) =>
        Below(c.ResinCelsius, ColdResinCelsius, "°C", "The mix was poured at", "How warm the mix was is not on record.");

    // A depth that the data sheet allows clears nothing: it may still have become too hot in its room.
    private static (Bearing, string) OfHeat(PieceConditions c)
    {
        var (bearing, reason) = OfPeak(c);
        return c is { DepthMm: { } depth, MaxDepthMm: { } most } && depth > most
            ? (Bearing.For, $"Its deepest layer has {Number(depth)} mm, the data sheet allows {Number(most)} mm. {reason}")
            : (bearing, reason);
    }

    private static (Bearing, string) OfPeak(PieceConditions c)
    {
        if (c.Cure is not { } cure)
            return (Bearing.Unknown, "How hot it became cannot be computed: too little of the room is on record.");
        var said = $"By the engine it became {Number(cure.SlowPeakCelsius)} to {Number(cure.FastPeakCelsius)} °C hot, with a good lot; more than {Number(cure.PeakLimitCelsius)} °C is too hot";
        return cure.SlowPeakCelsius > cure.PeakLimitCelsius ? (Bearing.For, $"{said}: too deep for this resin and room.")
            : cure.FastPeakCelsius <= cure.PeakLimitCelsius ? (Bearing.Against, $"{said}.")
            : (Bearing.Unknown, $"{said}, so that it cannot be told.");
    }

    private static (Bearing, string) OfDemold(PieceConditions c)
    {
        if (c.Cure is not { IsDemold: true } cure)
            return (Bearing.Unknown, "No demold is on record, or too little of the room.");
        var said = $"{Seen(cure)}, a good lot in the room as recorded is hard up to {Range(cure)} °C";
        return cure.IsTooLittle switch
        {
            true => (Bearing.For, $"{said}: it was taken out too early to keep its shape at {Number(cure.WorkCelsius)} °C."),
            false => (Bearing.Against, $"{said}: hard enough at {Number(cure.WorkCelsius)} °C to be taken out."),
            _ => (Bearing.Unknown, $"{said}, too close to {Number(cure.WorkCelsius)} °C to tell."),
        };
    }

    private static (Bearing, string) Above(double? value, double limit, string unit, string what, string unknown) => value is not { } known
        ? (Bearing.Unknown, unknown)
        : (known >= limit ? Bearing.For : Bearing.Against, $"{what} {Number(known, 1)} {unit}; from {Number(limit)} {unit} on it counts as likely cause.");

    private static (Bearing, string) Below(double? value, double limit, string unit, string what, string unknown) => value is not { } known
        ? (Bearing.Unknown, unknown)
        : (known < limit ? Bearing.For : Bearing.Against, $"{what} {Number(known, 1)} {unit}; below {Number(limit)} {unit} it counts as likely cause.");

    private static string Seen(CureAtLook cure) => $"{(cure.IsDemold ? "At demold" : "When it was looked at")}, {Number(cure.AtHours, 1)} h after the first pour";

    private static string Range(CureAtLook cure) => $"{Number(cure.TgCelsius)} ({Number(cure.SlowTgCelsius)} to {Number(cure.FastTgCelsius)})";

    private static string Number(double value, int digits = 0) => value.ToString(digits == 0 ? "0" : digits == 1 ? "0.#" : "0.00", CultureInfo.InvariantCulture);
}
