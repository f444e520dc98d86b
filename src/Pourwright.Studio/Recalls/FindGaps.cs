using Pourwright.Studio.Names;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Closure = Pourwright.V1.Reconciliation.Types.Closure;
using Role = Pourwright.V1.RecallNotice.Types.Role;

namespace Pourwright.Studio.Recalls;

/// <summary>What the records leave open for a recall, a sentence each.</summary>
public static class FindGaps
{
    public static IReadOnlyList<string> Decide(RecallList list, IReadOnlyList<PersonToTell> people, DrillProof? proof) =>
    [
        .. proof is { HasMet: true, Met: false }
            ? [$"The way forward and the way back contradict each other over piece {Id(proof.Piece)}: look into this before anything else."] : NoGaps,
        .. people.Where(person => person is { Role: Role.Maker, IsReachable: false }).GroupBy(person => person.Obstacle)
            .Select(same => $"{TraceWords.Capital(TraceWords.Count(same.Count(), "maker"))} of {TraceWords.Count(same.Sum(person => person.Pieces.Count), "piece")} cannot be written to. {same.Key}"),
        .. SilentSites(list, people),
        .. list.OpenMixes.Select(mix => $"{TraceWords.Grams(mix.RemainingMassMg)} of mix {Id(mix.Mix)} are neither poured nor recorded as thrown away."),
        .. proof?.Reconciliations.SelectMany(OfBalance) ?? [],
    ];

    private static string[] NoGaps => [];

    private static IEnumerable<string> SilentSites(RecallList list, IReadOnlyList<PersonToTell> people) => people.Any(person => person is { Role: Role.Contact, IsReachable: true })
        ? []
        : list.Pieces.Select(piece => piece.Site).Concat(list.Stock.Select(stock => stock.Site)).Distinct()
            .Select(site => $"No contact of {Id(site)} has an e-mail address: nobody there would be told to set things apart.");

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
