using Google.Protobuf.WellKnownTypes;
using Pourwright.Evidence.Suspects;
using Pourwright.Studio.Names;
using Pourwright.Studio.Suspects;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Grade = Pourwright.V1.Suspect.Types.Grade;
using Line = Pourwright.V1.DefectReport.Types.Line;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Reports;

/// <summary>Puts together what one page says of a defect.</summary>
public static class WriteDefect
{
    /// <param name="about">The defect, compared with all pieces of the studio.</param>
    /// <param name="lines">Its suspects.</param>
    /// <param name="shared">What its sisters share with it, by name.</param>
    /// <param name="reached">Everything that shares it.</param>
    /// <param name="now">When it is written.</param>
    public static DefectReport Decide(DefectCase about, IReadOnlyList<Line> lines, IReadOnlyList<string> shared, RecallList reached, DateTimeOffset now)
    {
        var first = lines.FirstOrDefault(line => IsCalled(line) && line.Shared)?.Suspect;
        var report = new DefectReport
        {
            Defect = about.Defect.ToProto(),
            Piece = about.Trace.Piece,
            Grade = first?.Grade ?? Grade.TooLittle,
            Verdict = DefectVerdict.Decide(about.Finding, lines),
            Lines = { lines },
            Evidence = SuspectTerms.ToProto(about.Piece, about.Defect.Kind),
            Climate = TracePiece.Decide(about.Trace, now).ClimateThroughCure,
            SharedNames = { shared },
            Reached = reached,
            Sisters = { Sisters(about, reached) },
            ReportTime = Timestamp.FromDateTimeOffset(now),
        };
        DefectActions.Add(report);
        return report;
    }

    /// <summary>What it is best to look for sisters by: the first lot, container or mix that was called out and is in this piece; null where there is none.</summary>
    public static string? SharedSuspect(IReadOnlyList<Line> lines) => lines.FirstOrDefault(line => IsCalled(line) && line.Shared && IsStock(line.Suspect.Level.Resource))?.Suspect.Level.Resource;

    public static bool IsCalled(Line line) => line.Suspect.RankCount > 0;

    private static bool IsStock(string resource) =>
        ResourceKind.Lot.Matches(resource) || ResourceKind.Container.Matches(resource) || ResourceKind.Mix.Matches(resource);

    private static IEnumerable<DefectReport.Types.Sisters> Sisters(DefectCase about, RecallList reached)
    {
        var inspected = about.Finding.Pieces.ToDictionary(piece => piece.Factors.Name);
        return reached.Pieces.Where(piece => piece.Piece != about.Defect.Piece).GroupBy(piece => piece.Where).Select(place => new DefectReport.Types.Sisters
        {
            Where = place.Key,
            PieceCount = place.Count(),
            DefectiveCount = place.Count(piece => inspected.TryGetValue(piece.Piece, out var seen) && seen.Factors.IsDefective),
            UninspectedCount = place.Count(piece => piece.Where != Where.Scrapped && !inspected.ContainsKey(piece.Piece)),
            HeldCount = place.Count(piece => piece.Held),
        });
    }
}
