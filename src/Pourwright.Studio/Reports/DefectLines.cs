using Pourwright.Evidence.Suspects;
using Pourwright.Studio.Suspects;
using Pourwright.V1;
using Line = Pourwright.V1.DefectReport.Types.Line;

namespace Pourwright.Studio.Reports;

/// <summary>Which suspects stand in the report of a defect: those called out, then what an owner asks about in any case.</summary>
public static class DefectLines
{
    private static readonly Factor[] Asked =
        [Factor.LotB, Factor.LotA, Factor.Instructor, Factor.Temperature, Factor.RatioDeviation, Factor.PigmentLot, Factor.Mix, Factor.Person, Factor.Site, Factor.Bench];

    public static IReadOnlyList<Line> Decide(DefectCase about)
    {
        var suspects = about.Finding.Ranking.Suspects;
        var asked = Asked.SelectMany(factor => suspects.Where(suspect => suspect.Round is null && suspect.Level.Factor == factor && Has(about, suspect)));
        return [.. suspects.Where(suspect => suspect.Round is not null).Concat(asked).Select(suspect => LineOf(about, suspect))];
    }

    private static Line LineOf(DefectCase about, Evidence.Suspects.Suspect suspect) => new()
    {
        Suspect = SuspectTerms.ToProto(suspect, about.Finding.Studio, about.Finding.Words),
        Shared = Has(about, suspect),
        Statements =
        {
            SuspectTerms.ToProto(about.Piece, about.Defect.Kind).Statements.Where(said => said.Factors.Contains(SuspectTerms.ToProto(suspect.Level.Factor))),
        },
    };

    private static bool Has(DefectCase about, Evidence.Suspects.Suspect suspect) =>
        about.Piece.Factors.LevelsOf(suspect.Level.Factor).Contains(suspect.Level.Level);
}
