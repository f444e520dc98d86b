using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Suspects;

/// <summary>Second looks at a suspect: inside each instructor's pieces, inside each site's, and beside the numbers on record.</summary>
internal static class Confirmations
{
    private const double Level = 0.05;

    // Common practice, no source: five defects a coefficient, and numbers that most pieces have.
    private const int DefectsPerNumber = 5;
    private const double RecordedShare = 0.9;

    public static IReadOnlyList<Confirmation> Of(PieceTable table, PieceLevel suspect, bool[] standing)
    {
        Factor[] strata = [Factor.Instructor, Factor.Site, Factor.LotA, Factor.LotB];
        var inside = strata.Where(factor => factor != suspect.Factor).Select(factor => Inside(table, suspect, standing, factor));
        return [.. inside, .. Beside(table, suspect, standing) is { } beside ? [beside] : (Confirmation[])[]];
    }

    private static Confirmation Inside(PieceTable table, PieceLevel suspect, bool[] standing, Factor factor)
    {
        var with = suspect.Pieces.ToHashSet();
        var common = MantelHaenszel.Of(Known(table, suspect, standing)
            .Where(i => table.Pieces[i].LevelsOf(factor).Count > 0)
            .GroupBy(i => string.Join('\n', table.Pieces[i].LevelsOf(factor).Order(StringComparer.Ordinal)))
            .Select(stratum => Table(table, [.. stratum], with)));
        var result = common.InformativeTables == 0 ? Confirmed.CannotTell : Result(common.OddsRatio > 1 && common.P <= Level);
        return new([factor], result, common.OddsRatio, common.Interval, common.P);
    }

    // Null where no number is on record for most pieces.
    private static Confirmation? Beside(PieceTable table, PieceLevel suspect, bool[] standing)
    {
        var known = Known(table, suspect, standing).ToArray();
        var numbers = Numbers(table, suspect, known);
        if (numbers.Length == 0)
            return null;
        var rows = known.Where(i => numbers.All(table.Pieces[i].Numbers.ContainsKey)).ToArray();
        var model = Model(table, suspect, rows, numbers);
        if (!model.IsDetermined)
            return new(numbers, Confirmed.CannotTell, double.NaN, null, 1);
        var interval = model.ProfileInterval(1);
        return new(numbers, Result(interval.Low > 0), Math.Exp(model.Fit().Coefficients[1]),
            new(Math.Exp(interval.Low), Math.Exp(interval.High)), model.ProfileP(1));
    }

    // The numbers best recorded come first, as many as the defects can carry.
    private static Factor[] Numbers(PieceTable table, PieceLevel suspect, int[] known)
    {
        var most = Math.Max(1, known.Count(i => table.Pieces[i].IsDefective) / DefectsPerNumber - 1);
        return [.. Bands.Measured.Where(factor => factor != suspect.Factor)
            .Select(factor => (Factor: factor, Values: Values(table, known, factor)))
            .Where(n => n.Values.Length >= RecordedShare * known.Length && n.Values.Distinct().Count() > 1)
            .OrderByDescending(n => n.Values.Length).Take(most).Select(n => n.Factor)];
    }

    // A constant, the suspect, then each number in standard deviations from its mean.
    private static FirthLogistic Model(PieceTable table, PieceLevel suspect, int[] rows, Factor[] numbers)
    {
        var with = suspect.Pieces.ToHashSet();
        var scales = numbers.Select(factor => Scale(Values(table, rows, factor))).ToArray();
        return new(
            [.. rows.Select(i => (double[])[1, with.Contains(i) ? 1 : 0,
                .. numbers.Select((factor, n) => (table.Pieces[i].Numbers[factor] - scales[n].Mean) / scales[n].Sd)])],
            [.. rows.Select(i => table.Pieces[i].IsDefective)]);
    }

    private static (double Mean, double Sd) Scale(double[] values)
    {
        var mean = values.Average();
        var sd = Math.Sqrt(values.Average(v => (v - mean) * (v - mean)));
        return (mean, sd > 0 ? sd : 1);
    }

    private static double[] Values(PieceTable table, int[] places, Factor factor) =>
        [.. places.Where(i => table.Pieces[i].Numbers.ContainsKey(factor)).Select(i => table.Pieces[i].Numbers[factor])];

    private static IEnumerable<int> Known(PieceTable table, PieceLevel suspect, bool[] standing) =>
        Enumerable.Range(0, standing.Length).Where(i => standing[i] && table.Pieces[i].LevelsOf(suspect.Factor).Count > 0);

    private static TwoByTwo Table(PieceTable table, int[] places, HashSet<int> with)
    {
        int Count(bool has, bool defective) => places.Count(i => with.Contains(i) == has && table.Pieces[i].IsDefective == defective);
        return new(Count(true, true), Count(true, false), Count(false, true), Count(false, false));
    }

    private static Confirmed Result(bool holds) => holds ? Confirmed.Holds : Confirmed.DoesNotHold;
}
