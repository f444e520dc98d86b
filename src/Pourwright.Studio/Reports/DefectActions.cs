using System.Globalization;
using Pourwright.Studio.Names;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Kind = Pourwright.V1.Defect.Types.Kind;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Reports;

/// <summary>What to do now: hold first, then what to test, whom to tell, and what would change the answer.</summary>
public static class DefectActions
{
    public static void Add(DefectReport report)
    {
        report.Holds.Add(Holds(report));
        report.Tests.Add(Tests(report));
        report.Tells.Add(Tells(report));
        report.MindChangers.Add(MindChangers(report));
    }

    private static IEnumerable<string> Holds(DefectReport report)
    {
        var here = report.Sisters.Where(place => place.Where is Where.Curing or Where.InHouse or Where.Finished).ToList();
        var (free, held) = (here.Sum(place => place.PieceCount - place.HeldCount), here.Sum(place => place.HeldCount));
        var openStock = report.Reached.Stock.Where(stock => !stock.Held).ToList();
        if (free > 0)
            yield return $"Hold the {TraceWords.Count(free, "sister")} in the house that {(free == 1 ? "is" : "are")} not held; a day of waiting is the cheapest answer: pourwright defect hold-sisters {Id(report.Defect.Name)}.";
        else if (held > 0)
            yield return $"{TraceWords.Capital(TraceWords.Count(held, "sister"))} in the house {(held == 1 ? "is" : "are")} held. Set apart and labelled?";
        if (openStock.Count > 0)
            yield return $"Hold {Kilograms(openStock)} left in {TraceWords.List([.. openStock.Select(stock => Id(stock.Container))])}: pourwright lot hold.";
        else if (report.Reached.Stock.Count > 0)
            yield return $"{Kilograms(report.Reached.Stock)} of stock are held: keep a sample and the label.";
        if (report.Reached.OpenMixes.Count > 0)
            yield return $"Pour nothing more of {TraceWords.List([.. report.Reached.OpenMixes.Select(mix => $"mix {Id(mix.Mix)}")])}.";
    }

    // Warming for two days: common practice, no source.
    private static IEnumerable<string> Tests(DefectReport report)
    {
        var unseen = report.Sisters.Sum(place => place.UninspectedCount);
        if (unseen > 0) yield return $"Touch the {TraceWords.Count(unseen, "sister")} that nobody has looked at, at the thinnest edge and the coldest side.";
        if (report.Defect.Kind is Kind.Soft or Kind.LowHardness)
            yield return "Keep it two days as warm as the data sheet allows: if it hardens, it was cold; if not, look at what went into the cup.";
        foreach (var pour in Called(report).SelectMany(suspect => suspect.TestPours)) yield return $"Pour, small and inside the data sheet: {pour}.";
        if (Called(report).Any(suspect => suspect.Level.Factor is SuspectFactor.LotA or SuspectFactor.LotB && suspect.TestPours.Count == 0))
            yield return "One small test pour of the held lot and one of another, same day, room and hands: that tells lot from hand.";
    }

    private static IEnumerable<string> Tells(DefectReport report)
    {
        var home = report.Sisters.Where(place => place.Where == Where.HandedOver).Sum(place => place.PieceCount);
        var lots = Called(report).Where(suspect => ResourceKind.Lot.Matches(suspect.Level.Resource)).Select(suspect => Id(suspect.Level.Resource)).ToList();
        if (home > 0) yield return $"The makers of {TraceWords.Count(home, "sister")} at home; a recall lists and writes to them: {RecallCommand(report)}.";
        if (lots.Count > 0) yield return $"The supplier of {TraceWords.List(lots)}: counts, sample, label; ask for its records.";
        yield return "Who teaches there: what may not be handed over, and that nothing is settled.";
    }

    private static IEnumerable<string> MindChangers(DefectReport report) => Called(report).DefaultIfEmpty(report.Lines.FirstOrDefault(line => line.Shared)?.Suspect)
        .OfType<Suspect>().Take(2).Where(suspect => suspect.ChangingPieceCount > 0 || suspect.RankCount > 0).Select(suspect => suspect.ChangingPieceCount == 0
            ? $"A hundred further fine pieces with {DefectVerdict.NameOf(suspect.Level)} would not; a test pour beside another may, or a record that proves wrong."
            : suspect.RankCount > 0
            ? $"{TraceWords.Capital(TraceWords.Count(suspect.ChangingPieceCount, "further piece"))} with {DefectVerdict.NameOf(suspect.Level)}, none of them defective, and it would stand out no longer."
            : $"{TraceWords.Capital(TraceWords.Count(suspect.ChangingPieceCount, "further piece"))} with {DefectVerdict.NameOf(suspect.Level)}, all of them defective, and it would stand out.");

    private static IEnumerable<Suspect> Called(DefectReport report) => report.Lines.Where(line => WriteDefect.IsCalled(line) && line.Shared).Select(line => line.Suspect);

    private static string RecallCommand(DefectReport report)
    {
        var name = report.SharedNames[0];
        var from = ResourceKind.Lot.Matches(name) ? "--lot" : ResourceKind.Container.Matches(name) ? "--can" : "--mix";
        return $"pourwright recall start {from} {Id(name)} --dry-run";
    }

    private static string Kilograms(IEnumerable<RecallStock> stock) => (stock.Sum(each => each.RemainingMassMg) / 1_000_000m).ToString("0.## kg", CultureInfo.InvariantCulture);

    private static string Id(string name) => ResourceNames.IdOf(name);
}
