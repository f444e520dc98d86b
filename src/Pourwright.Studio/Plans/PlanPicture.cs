using System.Globalization;
using Pourwright.Studio.Paper;
using SkiaSharp;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Plans;

/// <summary>A site in a picture: days on which it is closed, counted from the first of the picture, and its benches.</summary>
internal sealed record SiteLanes(string Name, IReadOnlyList<int> ClosedDays, IReadOnlyList<BenchLane> Benches);

/// <summary>A bench and what lies on it.</summary>
internal sealed record BenchLane(string Name, int Places, IReadOnlyList<LaneBar> Bars)
{
    public int Rows => Bars.Select(bar => bar.Row + 1).DefaultIfEmpty(1).Max();
}

/// <summary>A class on a bench, in days from the first of the picture: from its pour to its machine day, and its finish.</summary>
/// <param name="Label">What is written on it.</param>
/// <param name="Pieces">How many lie there.</param>
/// <param name="FromDay">Pour.</param>
/// <param name="ToDay">Machine day.</param>
/// <param name="FinishDay">Null where there is none.</param>
/// <param name="Row">Among those beside each other.</param>
/// <param name="AtRisk">Its pieces may not be ready.</param>
/// <param name="Changed">It is other than in the plan before.</param>
internal sealed record LaneBar(
    string Label, int Pieces, double FromDay, double ToDay, double? FinishDay, int Row, bool AtRisk, bool Changed)
{
    /// <summary>Where the last of its marks ends.</summary>
    public double EndDay => (FinishDay ?? ToDay) + 0.2;
}

/// <summary>A plan as one picture: a lane a bench, a bar a class from pour to machine day. Lengths are in points (1/72 inch).</summary>
internal sealed record PlanPicture(string Title, string Source, DateOnly FirstDay, int Days, IReadOnlyList<SiteLanes> Sites)
{
    public const int DefaultWidthPx = 1400;

    private const float MarginPt = 14, NamesPt = 96, RowPt = 12, LanePt = 4, SitePt = 22, TitlePt = 13, TextPt = 7;
    private const float LeastDayPt = 7, MostDayPt = 26, PaperPt = 560;

    /// <summary>How wide the days are together, where they can be.</summary>
    private float WantedPt { get; init; } = 860;

    private float HeadPt => Title.Length == 0 ? 38 : 64;

    private float DayPt => Math.Clamp(WantedPt / Days, LeastDayPt, MostDayPt);

    private float WidthPt => Math.Max(2 * MarginPt + NamesPt + Days * DayPt, 560);

    private float HeightPt => HeadPt + Sites.Sum(Height) + 2 * MarginPt;

    public byte[] Svg(int widthPx) => ChartCanvas.Svg(WidthPt, HeightPt, widthPx, Paint, Texts(), Title, Words());

    public byte[] Png(int widthPx) => ChartCanvas.Png(WidthPt, HeightPt, widthPx, Paint, Texts());

    /// <summary>On paper: as many sites in a picture as a page holds, and the plan in words.</summary>
    public byte[] Pdf(string words, DateTimeOffset made)
    {
        using var sheet = new PdfSheet(Title, Source, made);
        sheet.Line(Title, PdfPen.Title);
        foreach (var line in sheet.Wrap(Source, PdfPen.Label, PdfSheet.Width)) sheet.Line(line, PdfPen.Label);
        sheet.Skip(6);
        foreach (var part in Parts())
        {
            sheet.Need(part.PaperHeight);
            sheet.Picture(part.Png((int)(PdfSheet.Width * 300 / 72)), part.PaperHeight);
            sheet.Skip(6);
        }
        foreach (var line in words.ReplaceLineEndings("\n").Split('\n')) Write(sheet, line);
        return sheet.Finish(Title, "Forecast, not proof: test by touch first.");
    }

    private double PaperHeight => Math.Min(HeightPt * PdfSheet.Width / WidthPt, PdfSheet.Height);

    // A fifth of a page is left for the head of the first.
    private IEnumerable<PlanPicture> Parts()
    {
        PlanPicture Of(IReadOnlyList<SiteLanes> sites) => this with { Title = "", Source = "", Sites = sites, WantedPt = PaperPt };
        List<SiteLanes> sites = [];
        foreach (var site in Sites)
        {
            if (sites.Count > 0 && Of([.. sites, site]).PaperHeight > 0.8 * PdfSheet.Height)
            {
                yield return Of([.. sites]);
                sites.Clear();
            }
            sites.Add(site);
        }
        if (sites.Count > 0) yield return Of(sites);
    }

    // Sections stand at the margin and end without a full stop, sentences with one.
    private static void Write(PdfSheet sheet, string line)
    {
        if (line.Length == 0)
        {
            sheet.Skip(5);
            return;
        }
        var (indent, pen) = line.StartsWith(' ') ? (10, PdfPen.Body) : (0, line.EndsWith('.') ? PdfPen.Body : PdfPen.Heading);
        foreach (var part in sheet.Wrap(line.Trim(), pen, PdfSheet.Width - indent)) sheet.Line(part, pen, indent);
    }

    private string Words() => $"{Source} " + string.Join(" ", Sites.Select(site =>
        $"{site.Name}: {string.Join(", ", site.Benches.SelectMany(bench => bench.Bars).Select(bar => bar.AtRisk ? $"{bar.Label} at risk" : bar.Label))}."));

    private static float Height(SiteLanes site) => SitePt + site.Benches.Sum(Height);

    private static float Height(BenchLane bench) => bench.Rows * RowPt + LanePt;

    private float X(double day) => MarginPt + NamesPt + (float)day * DayPt;

    /// <summary>Every bench with its upper edge.</summary>
    private IEnumerable<(SiteLanes Site, float SiteTop, BenchLane Bench, float Top)> Lanes()
    {
        var y = HeadPt + MarginPt;
        foreach (var site in Sites)
        {
            var (siteTop, top) = (y, y + SitePt);
            foreach (var bench in site.Benches)
            {
                yield return (site, siteTop, bench, top);
                top += Height(bench);
            }
            y += Height(site);
        }
    }

    private void Paint(SKCanvas canvas)
    {
        foreach (var (site, siteTop, bench, top) in Lanes()) PaintLane(canvas, site, bench, top, bench == site.Benches[0] ? siteTop : null);
        foreach (var (_, _, bench, top) in Lanes())
            foreach (var bar in bench.Bars) PaintBar(canvas, bar, top + bar.Row * RowPt + 1);
        PaintKey(canvas);
    }

    private void PaintLane(SKCanvas canvas, SiteLanes site, BenchLane bench, float top, float? siteTop)
    {
        var bottom = top + Height(bench) - LanePt;
        using var stripe = Fill(Stripe);
        using var line = Stroke(Rule, 0.5f);
        using var hatch = Stroke(Quiet, 0.4f);
        canvas.DrawRect(X(0), top, Days * DayPt, bottom - top, stripe);
        for (var day = 0; day <= Days; day++)
            if (day == 0 || FirstDay.AddDays(day).DayOfWeek == DayOfWeek.Monday) canvas.DrawLine(X(day), top - 2, X(day), bottom, line);
        foreach (var day in site.ClosedDays) Hatch(canvas, hatch, X(day), top, X(day + 1), bottom);
        if (siteTop is { } y) canvas.DrawLine(MarginPt, y + 2, X(Days), y + 2, line);
    }

    private void PaintBar(SKCanvas canvas, LaneBar bar, float top)
    {
        var colour = bar.AtRisk ? Alarm : Accent;
        var (left, right, bottom, middle) = (X(bar.FromDay), X(bar.ToDay), top + RowPt - 3, top + (RowPt - 3) / 2);
        using var tint = Fill(bar.AtRisk ? AlarmTint : AccentTint);
        using var ink = Fill(colour);
        using var edge = Stroke(colour, bar.Changed ? 1.4f : 0.7f);
        canvas.DrawRect(left, top, right - left, bottom - top, tint);
        canvas.DrawRect(left, top, right - left, bottom - top, edge);
        canvas.DrawCircle(left, middle, 2.6f, ink);
        canvas.DrawRect(right - 2.4f, middle - 2.4f, 4.8f, 4.8f, ink);
        PaintLabel(canvas, bar, left + 5, right - left - 9, bottom - 2.2f);
        if (bar.FinishDay is not { } finish) return;
        using var dots = SKPathEffect.CreateDash([1.2f, 1.8f], 0);
        edge.PathEffect = dots;
        canvas.DrawLine(right + 2.4f, middle, X(finish), middle, edge);
        edge.PathEffect = null;
        Diamond(canvas, edge, X(finish), middle);
    }

    private void PaintKey(SKCanvas canvas)
    {
        var y = MarginPt + HeadPt - 24;
        using var ink = Fill(Accent);
        using var edge = Stroke(Accent, 0.8f);
        using var alarm = Stroke(Alarm, 0.8f);
        using var alarmTint = Fill(AlarmTint);
        using var hatch = Stroke(Quiet, 0.4f);
        canvas.DrawCircle(MarginPt + 4, y, 2.6f, ink);
        canvas.DrawRect(MarginPt + 52 - 2.4f, y - 2.4f, 4.8f, 4.8f, ink);
        Diamond(canvas, edge, MarginPt + 136, y);
        canvas.DrawRect(MarginPt + 186, y - 4, 14, 8, alarmTint);
        canvas.DrawRect(MarginPt + 186, y - 4, 14, 8, alarm);
        Hatch(canvas, hatch, MarginPt + 276, y - 4, MarginPt + 290, y + 4);
    }

    private List<ChartText> Texts()
    {
        List<ChartText> texts = [];
        if (Title.Length > 0) texts.Add(new(Title, MarginPt, MarginPt + 12, TitlePt, Ink, Bold: true));
        if (Source.Length > 0) texts.Add(new(Source, MarginPt, MarginPt + 26, TextPt + 0.5f, Quiet));
        var key = MarginPt + HeadPt - 21.5f;
        foreach (var (x, text) in new[] { (10f, "pour"), (58f, "machine day"), (142f, "finish"), (204f, "! may not be ready"), (294f, "closed") })
            texts.Add(new(text, MarginPt + x, key, TextPt, Quiet));
        for (var day = 0; day < Days; day++)
            if (day == 0 || FirstDay.AddDays(day) is { DayOfWeek: DayOfWeek.Monday })
                if (day == 0 || day * DayPt > 34) texts.Add(new(FirstDay.AddDays(day).ToString("d MMM", CultureInfo.InvariantCulture), X(day) + 1, HeadPt + MarginPt - 4, TextPt, Quiet));
        foreach (var (site, siteTop, bench, top) in Lanes())
        {
            if (bench == site.Benches[0]) texts.Add(new(site.Name, MarginPt, siteTop + 14, TextPt + 2, Ink, Bold: true));
            texts.Add(new(Fitting($"{bench.Name} ({bench.Places})", NamesPt - 6), MarginPt, top + 8, TextPt, Quiet));
        }
        return texts;
    }

    // Beneath the bars it would not be seen: it is a stroke of theirs.
    private static void PaintLabel(SKCanvas canvas, LaneBar bar, float x, float widthPt, float y)
    {
        using var font = PaperFonts.Font(TextPt - 0.5f, bar.AtRisk);
        using var ink = Fill(bar.AtRisk ? Alarm : Ink);
        canvas.DrawText(Fitting($"{(bar.AtRisk ? "! " : "")}{bar.Label} · {bar.Pieces}", widthPt), x, y, font, ink);
    }

    private static string Fitting(string text, float widthPt)
    {
        using var font = PaperFonts.Font(TextPt);
        if (font.MeasureText(text) <= widthPt) return text;
        while (text.Length > 1 && font.MeasureText(text + "…") > widthPt) text = text[..^1];
        return text + "…";
    }

    private static void Hatch(SKCanvas canvas, SKPaint ink, float left, float top, float right, float bottom)
    {
        const float Apart = 4;
        canvas.Save();
        canvas.ClipRect(new(left, top, right, bottom));
        for (var x = left - (bottom - top); x < right; x += Apart) canvas.DrawLine(x, bottom, x + bottom - top, top, ink);
        canvas.Restore();
    }

    private static void Diamond(SKCanvas canvas, SKPaint ink, float x, float y)
    {
        using var path = new SKPath();
        path.MoveTo(x, y - 3);
        path.LineTo(x + 3, y);
        path.LineTo(x, y + 3);
        path.LineTo(x - 3, y);
        path.Close();
        canvas.DrawPath(path, ink);
    }

    private static SKPaint Stroke(string colour, float width) =>
        new() { Color = SKColor.Parse(colour), Style = SKPaintStyle.Stroke, StrokeWidth = width, IsAntialias = true };

    private static SKPaint Fill(string colour) => new() { Color = SKColor.Parse(colour), IsAntialias = true };
}
