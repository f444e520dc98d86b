using Pourwright.Evidence.Epcis;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Exports;

/// <summary>Decides how corrections are told: what was recorded once more, declared wrong, beside what is right. Reasons are free text and stay in the house.</summary>
public static class TellCorrections
{
    /// <param name="right">Null where it did not occur.</param>
    public static Correction OfPour(CorrectedRow row, PouredRow wrong, PouredRow? right, ExportTerms terms) =>
        Of(row, [TellPieces.Poured(wrong, terms)], right is null ? [] : [TellPieces.Poured(right, terms)]).Single();

    /// <summary>One, or none where the mix had been said not to have occurred before: no event of it stood.</summary>
    /// <param name="wrong">The draws before the correction.</param>
    /// <param name="right">The draws after it; none where the mix did not occur.</param>
    public static IEnumerable<Correction> OfMix(CorrectedRow row, IReadOnlyList<MaterialRow> wrong, IReadOnlyList<MaterialRow> right, ExportTerms terms) =>
        Of(row, Mixing(wrong, terms), Mixing(right, terms));

    private static IEnumerable<Correction> Of(CorrectedRow row, IEnumerable<TraceRecord> wrong, IReadOnlyList<TraceRecord> right) =>
        wrong.Select(record => new Correction(
            record, Instants.FromUnixMs(row.CorrectMs),
            row.Kind == CorrectionRecord.DidNotOccur ? CorrectionReason.DidNotOccur : CorrectionReason.IncorrectData, right));

    private static TraceRecord[] Mixing(IReadOnlyList<MaterialRow> draws, ExportTerms terms) =>
        draws.Count == 0 ? [] : [.. TellMaterials.Of(draws, terms)];
}
