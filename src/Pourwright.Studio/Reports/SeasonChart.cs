using System.Globalization;
using Pourwright.Studio.Paper;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Reports;

/// <summary>One site's defective pieces of a kind: those with the first suspect, and the others; each out of so many inspected.</summary>
internal sealed record SeasonBar(string Site, int With, int OfWith, int Others, int OfOthers);

/// <summary>Bars of one kind of defect under what stands out behind it.</summary>
/// <param name="Title">The kind, with its counts.</param>
/// <param name="Suspect">"B lot b-7"; empty where nothing stands out.</param>
/// <param name="Bars">A site each.</param>
internal sealed record SeasonBars(string Title, string Suspect, IReadOnlyList<SeasonBar> Bars);

/// <summary>Defects by kind, cause and site: a bar a site, as long as it has defective pieces; counts on both sides beside each.</summary>
internal sealed record SeasonChart(IReadOnlyList<SeasonBars> Kinds) : DrawnBlock
{
    private const double RowHeight = 12, BarHeight = 8, SiteWidth = 84, WordsWidth = 205, Gap = 8;

    public override double FirstHeight(PdfSheet sheet) => Kinds.Count == 0 ? 0 : HeightOf(Kinds[0]);

    public override void Draw(PdfSheet sheet)
    {
        foreach (var kind in Kinds)
        {
            sheet.Need(HeightOf(kind));
            sheet.Line(kind.Title, PdfPen.CellTitle);
            sheet.Skip(2);
            foreach (var bar in kind.Bars) Draw(sheet, kind, bar);
            sheet.Skip(5);
        }
        if (Kinds.Any(kind => kind.Suspect.Length > 0)) Key(sheet);
        sheet.Skip(4);
    }

    public override IEnumerable<string> Lines(int columns) => Kinds.SelectMany(kind => (string[])
        [kind.Title, .. kind.Bars.Select(bar => Line(kind, bar)), ""]).SkipLast(1);

    private static double HeightOf(SeasonBars kind) => PdfPen.CellTitle.LineHeight + 7 + kind.Bars.Count * RowHeight;

    private void Draw(PdfSheet sheet, SeasonBars kind, SeasonBar bar)
    {
        var unit = (sheet.LineWidth - SiteWidth - WordsWidth - 2 * Gap) / Most;
        sheet.Write(bar.Site, PdfPen.Cell, 0, 0, SiteWidth);
        sheet.Fill(Rule, SiteWidth + Gap, 0, 0.6, RowHeight);
        sheet.Fill(Alarm, SiteWidth + Gap, 1, bar.With * unit, BarHeight);
        sheet.Fill(Room, SiteWidth + Gap + bar.With * unit, 1, bar.Others * unit, BarHeight);
        sheet.Write(Words(kind, bar), PdfPen.Cell, sheet.LineWidth - WordsWidth, 0, WordsWidth);
        sheet.Skip(RowHeight);
    }

    private static void Key(PdfSheet sheet)
    {
        const double other = 150;
        sheet.Fill(Alarm, 0, 2, 14, 6);
        sheet.Write("defective, with what stands out", PdfPen.Small, 19);
        sheet.Fill(Room, other, 2, 14, 6);
        sheet.Write("defective, the others. Where nothing stands out all bars are of this kind.", PdfPen.Small, other + 19);
        sheet.Skip(PdfPen.Small.LineHeight);
    }

    // Terminals have no colours that everybody sees: # is with what stands out, o the others.
    private string Line(SeasonBars kind, SeasonBar bar)
    {
        const int most = 30;
        int Length(int count) => (int)Math.Round((double)count * most / Most);
        var drawn = new string('#', Length(bar.With)) + new string('o', Length(bar.Others));
        return $"  {Cut(bar.Site, 14),-14} {drawn,-(most + 1)} {Words(kind, bar)}".TrimEnd();
    }

    private int Most => Math.Max(1, Kinds.SelectMany(kind => kind.Bars).Max(bar => bar.With + bar.Others));

    private static string Words(SeasonBars kind, SeasonBar bar) => kind.Suspect.Length == 0 || bar.OfWith == 0
        ? string.Create(CultureInfo.InvariantCulture, $"{bar.Others} of {bar.OfOthers}")
        : string.Create(CultureInfo.InvariantCulture, $"{bar.With} of {bar.OfWith} with it, {bar.Others} of {bar.OfOthers} others");

    private static string Cut(string text, int length) => text.Length <= length ? text : text[..length];
}
