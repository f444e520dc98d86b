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
    private sealed record Rule(Func<PieceConditions, (Bearing Bearing, Finding Finding)> Judge, params Factor[] Factors)
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
            return [Unknown(piece, new("CURE_UNKNOWN", "Too little of the room, or no time of demold, is on record to compute its cure."))];
        var reached = $"{Seen(cure)}, a good lot in the room as recorded has a conversion of {Number(cure.Conversion, 2)} and is hard up to {Range(cure)} °C";
        return cure.IsTooLittle is { } tooLittle
            ? PhysicalEvidence.OfCure(piece, tooLittle, tooLittle
                ? new("CURE_TOO_LITTLE", $"{reached}, below the {Number(cure.WorkCelsius)} °C of the room where it is felt: the room cured it too little, whatever the lot.", Facts(cure))
                : new("CURE_ENOUGH", $"{reached}, above the {Number(cure.WorkCelsius)} °C of the room where it is felt: the room should have cured it.", Facts(cure)))
            : [Unknown(piece, new("CURE_CLOSE", $"{reached}; the room where it is felt has {Number(cure.WorkCelsius)} °C, which is too close to tell.", Facts(cure)))];
    }

    private static PhysicalEvidence Unknown(string piece, Finding finding) =>
        new(piece, Factor.ConversionAtDemold, null, Bearing.Unknown, finding.Text) { Finding = finding };

    private static IEnumerable<PhysicalEvidence> Of(string piece, Rule rule, PieceConditions conditions)
    {
        var (bearing, finding) = rule.Judge(conditions);
        PhysicalEvidence Speaks(Factor factor, Bearing which) => new(piece, factor, null, which, finding.Text) { Finding = finding };
        var named = rule.Factors.Select(factor => Speaks(factor, bearing));
        return bearing switch
        {
            Bearing.For => named.Concat(rule.Cleared.Select(factor => Speaks(factor, Bearing.Against))),
            // Weighed right says nothing of whether scale and stirring were.
            Bearing.Against => named.Where(e => e.Factor is not (Factor.Mix or Factor.Scale)),
            _ => named.Take(1),
        };
    }

    // With B short by d % at least d % of A finds no partner; with B over by d %, d/(100 + d) of B stays behind and softens.
    // Stoichiometry of two parts that react with each other alone, from memory.
    private static (Bearing, Finding) OfRatio(PieceConditions c)
    {
        if (c is not { RatioDeviationPercent: { } off, RatioTolerancePercent: { } allowed })
            return (Bearing.Unknown, new("RATIO_UNKNOWN", "What was weighed is not on record."));
        var said = Math.Abs(off) < 0.05 ? "B is at its ratio" : $"B is {Number(Math.Abs(off), 1)} % {(off < 0 ? "short" : "over")}, {Number(allowed, 1)} % are allowed";
        var left = Number(off < 0 ? -off : 100 * off / (100 + off), 1);
        (string, string)[] facts = [("deviation_percent", Number(Math.Abs(off), 1)), ("allowed_percent", Number(allowed, 1)), ("left_percent", left)];
        if (Math.Abs(off) <= allowed)
            return (Bearing.Against, new("RATIO_IN_ORDER", $"{said}: the ratio as weighed is in order. It says nothing of how well it was stirred, nor of the scale.", facts));
        return (Bearing.For, off < 0
            ? new("RATIO_SHORT", $"{said}: at least {left} % of A finds no partner. How much softer that makes it is not known.", facts)
            : new("RATIO_OVER", $"{said}: at least {left} % of B stays behind and softens. How much is not known.", facts));
    }

    private static (Bearing, Finding) OfCold(PieceConditions c)
    {
        if (c is not { BelowMinimumHours: { } hours, MinCureCelsius: { } least, RoomLowCelsius: { } low })
            return (Bearing.Unknown, new("ROOM_UNRECORDED", "The room of its cure is not on record, or too little of it."));
        (string, string)[] facts = [("cold_hours", Number(hours, 1)), ("least_celsius", Number(least, 1)), ("lowest_celsius", Number(low, 1))];
        return hours >= 0.05
            ? (Bearing.For, new("ROOM_WAS_COLD", $"For {Number(hours, 1)} h the room was colder than the {Number(least, 1)} °C that the data sheet asks for, {Number(low, 1)} °C at the lowest.", facts))
            : (Bearing.Against, new("ROOM_WAS_WARM", $"The room never was colder than the {Number(least, 1)} °C that the data sheet asks for; {Number(low, 1)} °C was the lowest.", facts));
    }

    private static (Bearing, Finding) OfHumidity(PieceConditions c) => c.HumidityPercent is not { } known
        ? (Bearing.Unknown, new("HUMIDITY_UNKNOWN", "Humidity was not recorded."))
        : (Above(known, DampPercent), new("HUMIDITY_MEASURED", $"The air of its cure had a humidity of up to {Number(known, 1)} %; from {Number(DampPercent)} % on it counts as likely cause.",
            ("humidity_percent", Number(known, 1)), ("limit_percent", Number(DampPercent))));

    private static (Bearing, Finding) OfWood(PieceConditions c) => c.WoodMoisturePercent is not { } known
        ? (Bearing.Unknown, new("WOOD_UNKNOWN", "The moisture of its wood was not recorded."))
        : (Above(known, WetWoodPercent), new("WOOD_MEASURED", $"Its wood had a moisture of {Number(known, 1)} %; from {Number(WetWoodPercent)} % on it counts as likely cause.",
            ("moisture_percent", Number(known, 1)), ("limit_percent", Number(WetWoodPercent))));

    private static (Bearing, Finding) OfDewPoint(PieceConditions c) => c.DewPointMarginKelvin is not { } known
        ? (Bearing.Unknown, new("DEW_POINT_UNKNOWN", "How close it was to the dew point is not known."))
        : (Below(known, NearDewKelvin), new("DEW_POINT_MARGIN", $"The least margin above the dew point was {Number(known, 1)} K; below {Number(NearDewKelvin)} K it counts as likely cause.",
            ("margin_kelvin", Number(known, 1)), ("limit_kelvin", Number(NearDewKelvin))));

    private static (Bearing, Finding) OfResin(PieceConditions c) => c.ResinCelsius is not { } known
        ? (Bearing.Unknown, new("RESIN_UNKNOWN", "How warm the mix was is not on record."))
        : (Below(known, ColdResinCelsius), new("RESIN_WARMTH", $"The mix was poured at {Number(known, 1)} °C; below {Number(ColdResinCelsius)} °C it counts as likely cause.",
            ("resin_celsius", Number(known, 1)), ("limit_celsius", Number(ColdResinCelsius))));

    // A depth that the data sheet allows clears nothing: it may still have become too hot in its room.
    private static (Bearing, Finding) OfHeat(PieceConditions c)
    {
        var (bearing, peak) = OfPeak(c);
        return c is { DepthMm: { } depth, MaxDepthMm: { } most } && depth > most
            ? (Bearing.For, new(peak.Kind, $"Its deepest layer has {Number(depth)} mm, the data sheet allows {Number(most)} mm. {peak.Text}",
                [.. peak.Facts, ("depth_mm", Number(depth)), ("max_depth_mm", Number(most))]))
            : (bearing, peak);
    }

    private static (Bearing, Finding) OfPeak(PieceConditions c)
    {
        if (c.Cure is not { } cure)
            return (Bearing.Unknown, new("PEAK_UNKNOWN", "How hot it became cannot be computed: too little of the room is on record."));
        var said = $"By the engine it became {Number(cure.SlowPeakCelsius)} to {Number(cure.FastPeakCelsius)} °C hot, with a good lot; more than {Number(cure.PeakLimitCelsius)} °C is too hot";
        (string, string)[] facts = [("peak_low_celsius", Number(cure.SlowPeakCelsius)), ("peak_high_celsius", Number(cure.FastPeakCelsius)), ("limit_celsius", Number(cure.PeakLimitCelsius))];
        return cure.SlowPeakCelsius > cure.PeakLimitCelsius ? (Bearing.For, new("PEAK_TOO_HOT", $"{said}: too deep for this resin and room.", facts))
            : cure.FastPeakCelsius <= cure.PeakLimitCelsius ? (Bearing.Against, new("PEAK_FINE", $"{said}.", facts))
            : (Bearing.Unknown, new("PEAK_CLOSE", $"{said}, so that it cannot be told.", facts));
    }

    private static (Bearing, Finding) OfDemold(PieceConditions c)
    {
        if (c.Cure is not { IsDemold: true } cure)
            return (Bearing.Unknown, new("DEMOLD_UNKNOWN", "No demold is on record, or too little of the room."));
        var said = $"{Seen(cure)}, a good lot in the room as recorded is hard up to {Range(cure)} °C";
        return cure.IsTooLittle switch
        {
            true => (Bearing.For, new("DEMOLD_EARLY", $"{said}: it was taken out too early to keep its shape at {Number(cure.WorkCelsius)} °C.", Facts(cure))),
            false => (Bearing.Against, new("DEMOLD_HARD", $"{said}: hard enough at {Number(cure.WorkCelsius)} °C to be taken out.", Facts(cure))),
            _ => (Bearing.Unknown, new("DEMOLD_CLOSE", $"{said}, too close to {Number(cure.WorkCelsius)} °C to tell.", Facts(cure))),
        };
    }

    private static Bearing Above(double value, double limit) => value >= limit ? Bearing.For : Bearing.Against;

    private static Bearing Below(double value, double limit) => value < limit ? Bearing.For : Bearing.Against;

    private static string Seen(CureAtLook cure) => $"{(cure.IsDemold ? "At demold" : "When it was looked at")}, {Number(cure.AtHours, 1)} h after the first pour";

    private static string Range(CureAtLook cure) => $"{Number(cure.TgCelsius)} ({Number(cure.SlowTgCelsius)} to {Number(cure.FastTgCelsius)})";

    private static (string, string)[] Facts(CureAtLook cure) =>
    [
        ("seen", cure.IsDemold ? "demold" : "look"), ("at_hours", Number(cure.AtHours, 1)), ("conversion_ratio", Number(cure.Conversion, 2)),
        ("hard_celsius", Number(cure.TgCelsius)), ("hard_low_celsius", Number(cure.SlowTgCelsius)), ("hard_high_celsius", Number(cure.FastTgCelsius)),
        ("work_celsius", Number(cure.WorkCelsius)),
    ];

    private static string Number(double value, int digits = 0) => Finding.Number(value, digits);
}
