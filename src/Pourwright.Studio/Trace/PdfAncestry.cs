using Pourwright.Studio.Paper;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Trace;

/// <summary>Draws a family tree as boxes in five ranks, lots on the left, the piece on the right.</summary>
public static class PdfAncestry
{
    private const double Gap = 20;
    private const double Between = 7;
    private const double Inset = 5;
    private const double TitleHeight = 14;

    private static readonly string[] Ranks = ["Lots", "Containers", "Mixes", "Pours", "Piece"];

    /// <summary>Height of the drawn tree, in points.</summary>
    public static double Height(PdfSheet sheet, Ancestor piece) => TitleHeight + Tallest(Columns(sheet, piece)) + 6;

    /// <summary>Draws the tree on one page; it must not be taller than that.</summary>
    public static void Draw(PdfSheet sheet, Ancestor piece)
    {
        var boxes = Columns(sheet, piece);
        var height = Tallest(boxes);
        sheet.Need(TitleHeight + height + 6);
        foreach (var (title, index) in Ranks.Select((title, index) => (title, index))) sheet.Write(title, PdfPen.CellTitle, Left(sheet, index));
        sheet.Skip(TitleHeight);
        var placed = boxes.SelectMany(column => column.Select(box => box with { Dy = box.Dy + (height - column[^1].Bottom) / 2 })).ToList();
        foreach (var box in placed)
            foreach (var source in box.Node.MadeFrom.Select(from => placed.First(other => other.Node.Name == from.Name)))
                sheet.Curve(Quiet, source.X + Width(sheet), source.Middle, box.X, box.Middle);
        foreach (var box in placed) Draw(sheet, box);
        sheet.Skip(height + 6);
    }

    private static List<List<Placed>> Columns(PdfSheet sheet, Ancestor piece) =>
        [.. RanksOf(piece).Select((rank, index) => Boxes(sheet, rank, index))];

    private static double Tallest(List<List<Placed>> columns) => columns.Max(column => column.Count == 0 ? 0 : column[^1].Bottom);

    private static double Width(PdfSheet sheet) => (sheet.LineWidth - Gap * (Ranks.Length - 1)) / Ranks.Length;

    private static double Left(PdfSheet sheet, int rank) => rank * (Width(sheet) + Gap);

    private static List<List<Ancestor>> RanksOf(Ancestor piece)
    {
        List<List<Ancestor>> ranks = [[piece]];
        while (ranks.Count < Ranks.Length) ranks.Insert(0, Sources(ranks[0]));
        return ranks;
    }

    /// <summary>What a rank is made from, each once, near what is made from it: fewer lines cross.</summary>
    private static List<Ancestor> Sources(List<Ancestor> rank) =>
    [
        .. rank.SelectMany((node, index) => node.MadeFrom.Select(source => (source, index)))
            .GroupBy(use => use.source.Name).OrderBy(uses => uses.Average(use => use.index))
            .Select(uses => Merged([.. uses.Select(use => use.source)])),
    ];

    private static Ancestor Merged(IReadOnlyList<Ancestor> same) =>
        same[0] with { Detail = string.Join("; ", same.Select(node => node.Detail).Distinct()) };

    private static List<Placed> Boxes(PdfSheet sheet, IReadOnlyList<Ancestor> rank, int index)
    {
        List<Placed> boxes = [];
        var dy = 0.0;
        foreach (var node in rank)
        {
            var box = new Placed(node, Left(sheet, index), dy,
                sheet.Wrap(node.Title, PdfPen.NodeTitle, Width(sheet) - 2 * Inset), sheet.Wrap(node.Detail, PdfPen.NodeDetail, Width(sheet) - 2 * Inset));
            boxes.Add(box);
            dy += box.Height + Between;
        }
        return boxes;
    }

    private static void Draw(PdfSheet sheet, Placed box)
    {
        sheet.Box(box.Node.Alarm ? Alarm : Rule, box.Node.Alarm ? AlarmTint : White, box.X, box.Dy, Width(sheet), box.Height);
        var dy = box.Dy + Inset - 1;
        foreach (var line in box.Title)
        {
            sheet.Write(line, PdfPen.NodeTitle, box.X + Inset, dy);
            dy += PdfPen.NodeTitle.LineHeight;
        }
        foreach (var line in box.Detail)
        {
            sheet.Write(line, PdfPen.NodeDetail, box.X + Inset, dy);
            dy += PdfPen.NodeDetail.LineHeight;
        }
    }

    private sealed record Placed(Ancestor Node, double X, double Dy, IReadOnlyList<string> Title, IReadOnlyList<string> Detail)
    {
        public double Height => Title.Count * PdfPen.NodeTitle.LineHeight + Detail.Count * PdfPen.NodeDetail.LineHeight + 2 * Inset - 2;

        public double Bottom => Dy + Height;

        public double Middle => Dy + Height / 2;
    }
}
