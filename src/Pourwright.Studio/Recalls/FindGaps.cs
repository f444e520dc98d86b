using System.Globalization;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Closure = Pourwright.V1.Reconciliation.Types.Closure;
using Role = Pourwright.V1.RecallNotice.Types.Role;

namespace Pourwright.Studio.Recalls;

/// <summary>What the records leave open for a recall, a sentence each.</summary>
public static class FindGaps
{
    public static IReadOnlyList<Statement> Decide(RecallFindings found, DrillProof? proof) =>
    [
        .. proof is { HasMet: true, Met: false } ? [Contradiction(proof.Piece)] : NoGaps,
        .. found.OtherDeliveries.GroupBy(lot => lot.SupplierLotCode).Select(OfDeliveries),
        .. found.People.Where(person => person is { Role: Role.Maker, IsReachable: false }).GroupBy(person => person.Obstacle).Select(OfMakers),
        .. found.SilentSites.Select(OfSite),
        .. found.List.OpenMixes.Select(OfMix),
        .. proof?.Reconciliations.SelectMany(OfBalance) ?? [],
    ];

    private static Statement[] NoGaps => [];

    private static Statement Contradiction(string piece) => Stated.Of("WAYS_CONTRADICT",
        $"The way forward and the way back contradict each other over piece {Id(piece)}: look into this before anything else.", ("piece", piece));

    /// <summary>What a supplier calls one lot may have come in twice: which of them is meant, the records cannot know.</summary>
    private static Statement OfDeliveries(IGrouping<string, LotRecord> deliveries) => Stated.Of("OTHER_DELIVERIES",
        $"The supplier's lot {deliveries.Key} came in also as {TraceWords.List([.. deliveries.Select(lot => Id(lot.Name))])}, which this list does not follow. Ask the supplier whether it is one batch; if so, start a recall of {(deliveries.Count() == 1 ? "it" : "each")} as well.",
        ("supplier_lot_code", deliveries.Key), ("lots", string.Join(", ", deliveries.Select(lot => lot.Name))));

    private static Statement OfMakers(IGrouping<string, PersonToTell> makers)
    {
        var (makerCount, pieceCount) = (makers.Count(), makers.Sum(person => person.Pieces.Count));
        return Stated.Of("MAKERS_UNREACHABLE",
            $"{TraceWords.Capital(TraceWords.Count(makerCount, "maker"))} of {TraceWords.Count(pieceCount, "piece")} cannot be written to. {makers.Key}",
            ("maker_count", Shown(makerCount)), ("piece_count", Shown(pieceCount)), ("obstacle", Obstacles.KindOf(makers.Key)));
    }

    private static Statement OfSite(string site) => Stated.Of("SITE_SILENT",
        $"No contact of {Id(site)} has an e-mail address: nobody there would be told to set things apart. Call them.", ("site", site));

    private static Statement OfMix(RecallMix mix) => Stated.Of("MIX_OPEN",
        $"{TraceWords.Grams(mix.RemainingMassMg)} of mix {Id(mix.Mix)} are neither poured nor recorded as thrown away.",
        ("mix", mix.Mix), ("remaining_mass_mg", Shown(mix.RemainingMassMg)));

    private static IEnumerable<Statement> OfBalance(Reconciliation balance)
    {
        var about = $"{(ResourceKind.Mix.Matches(balance.Name) ? "Mix" : "Lot")} {Id(balance.Name)}";
        return balance.Closure switch
        {
            Closure.Missing => [OfMass("MASS_MISSING", balance, balance.UnexplainedMassMg,
                $"{about}: {TraceWords.Grams(balance.UnexplainedMassMg)} are missing, more than the {TraceWords.Grams(balance.ToleranceMassMg)} that weighing leaves open.")],
            Closure.TooMuch => [OfMass("MASS_TOO_MUCH", balance, -balance.UnexplainedMassMg,
                $"{about}: {TraceWords.Grams(-balance.UnexplainedMassMg)} too much were found, more than the {TraceWords.Grams(balance.ToleranceMassMg)} that weighing leaves open: as much an error as a loss.")],
            _ => balance.Unknowns.Select(unknown => new Statement { Text = unknown }),
        };
    }

    private static Statement OfMass(string kind, Reconciliation balance, long massMg, string text) =>
        Stated.Of(kind, text, ("name", balance.Name), ("mass_mg", Shown(massMg)), ("tolerance_mass_mg", Shown(balance.ToleranceMassMg)));

    private static string Shown(long number) => number.ToString(CultureInfo.InvariantCulture);

    private static string Id(string name) => ResourceNames.IdOf(name);
}
