using Pourwright.Studio.Paper;

namespace Pourwright.Studio.Trace;

/// <summary>What a piece is made of, as a family tree.</summary>
public sealed record AncestryBlock(Ancestor Piece) : DrawnBlock
{
    public override double FirstHeight(PdfSheet sheet) =>
        FitsAPage(sheet) ? PdfAncestry.Height(sheet, Piece) : 3 * PdfPen.Body.LineHeight;

    public override void Draw(PdfSheet sheet)
    {
        if (FitsAPage(sheet)) PdfAncestry.Draw(sheet, Piece);
        else foreach (var line in Lines(ReportText.Columns)) sheet.Line(line, PdfPen.Cell);
    }

    public override IEnumerable<string> Lines(int columns) => Lines(Piece, "", "", columns);

    private bool FitsAPage(PdfSheet sheet) => PdfAncestry.Height(sheet, Piece) <= ReportPdf.TallestUnderHeading;

    private static IEnumerable<string> Lines(Ancestor ancestor, string branch, string trunk, int columns)
    {
        var line = ancestor.Detail.Length == 0 ? ancestor.Title : $"{ancestor.Title}  {ancestor.Detail}";
        var below = trunk + (ancestor.MadeFrom.Count > 0 ? "│  " : "   ");
        var wrapped = ReportText.Wrap(line, columns - below.Length);
        yield return branch + wrapped[0];
        foreach (var rest in wrapped.Skip(1)) yield return below + rest;
        for (var child = 0; child < ancestor.MadeFrom.Count; child++)
        {
            var last = child == ancestor.MadeFrom.Count - 1;
            foreach (var childLine in Lines(ancestor.MadeFrom[child], trunk + (last ? "└─ " : "├─ "), trunk + (last ? "   " : "│  "), columns))
                yield return childLine;
        }
    }
}

/// <summary>The course of the room and the cure; on paper only.</summary>
/// <param name="Course">What is drawn.</param>
/// <param name="Small">Temperatures alone, low: for a page with much else on it.</param>
public sealed record CourseBlock(CureCourse Course, bool Small = false) : DrawnBlock
{
    public override double FirstHeight(PdfSheet sheet) => HeightOn(sheet);

    public override void Draw(PdfSheet sheet)
    {
        sheet.Need(HeightOn(sheet));
        sheet.Picture(Small ? CureChart.PrintSmall(Course) : CureChart.Print(Course), HeightOn(sheet));
        sheet.Skip(6);
    }

    public override IEnumerable<string> Lines(int columns) => [];

    private double HeightOn(PdfSheet sheet) => (Small ? CureChart.SmallHeightPt(Course) : CureChart.HeightPt(Course)) * sheet.LineWidth / CureChart.WidthPt;
}

/// <summary>One of the family: a piece, its pours, their mixes, the containers, the lots. The same name is the same thing.</summary>
public sealed record Ancestor(string Name, string Title, string Detail, IReadOnlyList<Ancestor> MadeFrom, bool Alarm = false);
