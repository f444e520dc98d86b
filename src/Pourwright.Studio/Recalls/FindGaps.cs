using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Closure = Pourwright.V1.Reconciliation.Types.Closure;
using Role = Pourwright.V1.RecallNotice.Types.Role;

namespace Pourwright.Studio.Recalls;

/// <summary>What the records leave open for a recall, a sentence each.</summary>
public static class FindGaps
{
    public static IReadOnlyList<string> Decide(RecallFindings found, DrillProof? proof) =>
    [
        .. proof is { HasMet: true, Met: false }
            ? [$"The way forward and the way back contradict each other over piece {Id(proof.Piece)}: look into this before anything else."] : NoGaps,
        .. found.OtherDeliveries.GroupBy(lot => lot.SupplierLotCode).Select(OfDeliveries),
        .. found.People.Where(person => person is { Role: Role.Maker, IsReachable: false }).GroupBy(person => person.Obstacle)
            .Select(same => $"{TraceWords.Capital(TraceWords.Count(same.Count(), "maker"))} of {TraceWords.Count(same.Sum(person => person.Pieces.Count), "piece")} cannot be written to. {same.Key}"),
        .. found.SilentSites.Select(site => $"No contact of {Id(site)} has an e-mail address: nobody there would be told to set things apart. Call them."),
        .. found.List.OpenMixes.Select(mix => $"{TraceWords.Grams(mix.RemainingMassMg)} of mix {Id(mix.Mix)} are neither poured nor recorded as thrown away."),
        .. proof?.Reconciliations.SelectMany(OfBalance) ?? [],
    ];

    private static string[] NoGaps => [];

    /// <summary>What a supplier calls one lot may have come in twice: which of them is meant, the records cannot know.</summary>
    private static string OfDeliveries(IGrouping<string, LotRecord> deliveries) =>
        $"The supplier's lot {deliveries.Key} came in also as {TraceWords.List([.. deliveries.Select(lot => Id(lot.Name))])}, which this list does not follow. Ask the supplier whether it is one batch; if so, start a recall of {(deliveries.Count() == 1 ? "it" : "each")} as well.";

    private static IEnumerable<string> OfBalance(Reconciliation balance)
    {
        var about = $"{(ResourceKind.Mix.Matches(balance.Name) ? "Mix" : "Lot")} {Id(balance.Name)}";
        return balance.Closure switch
        {
            Closure.Missing => [$"{about}: {TraceWords.Grams(balance.UnexplainedMassMg)} are missing, more than the {TraceWords.Grams(balance.ToleranceMassMg)} that weighing leaves open."],
            Closure.TooMuch => [$"{about}: {TraceWords.Grams(-balance.UnexplainedMassMg)} too much were found, more than the {TraceWords.Grams(balance.ToleranceMassMg)} that weighing leaves open: as much an error as a loss."],
            _ => balance.Unknowns,
        };
    }

    private static string Id(string name) => ResourceNames.IdOf(name);
}
