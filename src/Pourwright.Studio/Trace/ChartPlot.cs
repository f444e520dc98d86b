using System.Globalization;
using Pourwright.Studio.Paper;
using ScottPlot;
using ScottPlot.TickGenerators;
using SkiaSharp;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Trace;

/// <summary>What both charts of a cure share: a time axis in local time, lines, labels. Lengths are in points (1/72 inch).</summary>
internal sealed class ChartPlot : IDisposable
{
    /// <summary>Left, right, top: the same in both charts, so that their time axes stand under each other.</summary>
    public const float LeftPt = 38, RightPt = 6, TopPt = 8;

    public const float TextPt = 7;

    /// <summary>Below the axis, with the times and without.</summary>
    private const float TimesPt = 24, NoTimesPt = 6;

    private readonly CureCourse _course;
    private readonly float _heightPt;

    public ChartPlot(CureCourse course, float heightPt, string unit, bool labelTime)
    {
        PaperFonts.Use();
        (_course, _heightPt) = (course, heightPt);
        Plot.Font.Set(PaperFonts.Family);
        Plot.FigureBackground.Color = Plot.DataBackground.Color = InChart(White);
        Plot.Axes.SetLimitsX(X(course.From), X(course.To));
        Plot.Axes.Bottom.TickGenerator = Ticks(labelTime);
        Plot.Axes.Left.Label.Text = unit;
        Plot.Axes.Left.Label.Bold = false;
        Plot.Grid.MajorLineColor = InChart(Rule).WithAlpha(0.6);
        Plot.Grid.MajorLineWidth = 0.4f;
        foreach (var axis in new IAxis[] { Plot.Axes.Left, Plot.Axes.Bottom }) Quieten(axis);
        Plot.Axes.Right.FrameLineStyle.Width = Plot.Axes.Top.FrameLineStyle.Width = 0;
        Plot.Layout.Fixed(new PixelPadding(LeftPt, RightPt, labelTime ? TimesPt : NoTimesPt, TopPt));
        Plot.HideLegend();
        // The sheet holds more than this chart.
        Plot.RenderManager.ClearCanvasBeforeEachRender = false;
    }

    public Plot Plot { get; } = new();

    /// <summary>Height of a chart whose axes span so much.</summary>
    public static float HeightPt(float spanPt, bool labelTime) => spanPt + TopPt + (labelTime ? TimesPt : NoTimesPt);

    public void Paint(SKCanvas canvas, float top)
    {
        var area = new PixelRect(0, CureChart.WidthPt, top + _heightPt, top);
        // The first time the library draws everything twice, to fit its ticks: in an SVG both would stay.
        using var nowhere = new SKNoDrawCanvas((int)area.Right, (int)area.Bottom);
        Plot.Render(nowhere, area);
        Plot.Render(canvas, area);
    }

    public void Dispose() => Plot.Dispose();

    public void Line(IReadOnlyList<CoursePoint> points, string colour, float width, float[]? dashes = null)
    {
        var line = Plot.Add.ScatterLine(At(Thinned(points)), InChart(colour));
        line.LineWidth = width;
        if (dashes is not null) line.LinePattern = Pattern(dashes);
    }

    public void Vertical(DateTimeOffset time, string colour, float[]? dashes = null)
    {
        var line = Plot.Add.VerticalLine(X(time), 0.8f, InChart(colour));
        if (dashes is not null) line.LinePattern = Pattern(dashes);
    }

    public void Mark(IEnumerable<CoursePoint> points, ChartSample shape, float sizePt) => Plot.Add.Plottable(new Marks(At(points), shape, sizePt));

    /// <summary>Labels something that reaches from <paramref name="first"/> to <paramref name="last"/>, outside it where there is room.</summary>
    public void Label(string text, double first, double last, double y, string colour)
    {
        using var font = PaperFonts.Font(TextPt);
        var (limits, gap, width) = (Plot.Axes.GetLimits(), Along(3), Along(font.MeasureText(text) + 8));
        if (limits.Right - last > width) Write(text, last + gap, y, Alignment.MiddleLeft, colour);
        else if (first - limits.Left > width) Write(text, first - gap, y, Alignment.MiddleRight, colour);
        else Write(text, Math.Min(first + gap, limits.Right - width), y, Alignment.MiddleLeft, colour);
    }

    /// <summary>So much of the time axis.</summary>
    public double Along(float lengthPt) => lengthPt / (CureChart.WidthPt - LeftPt - RightPt) * Plot.Axes.GetLimits().HorizontalSpan;

    public void Hatch(CoordinateRect area, string colour, bool rising) => Plot.Add.Plottable(new Hatched(area, InChart(colour), rising));

    public Coordinates[] At(IEnumerable<CoursePoint> points) => [.. points.Select(point => new Coordinates(X(point.Time), point.Value))];

    public double X(DateTimeOffset time) => Wall(time).ToOADate();

    public static LinePattern Pattern(float[] dashes) => new(dashes, 0, "");

    /// <summary>Wall-clock time at the offset of the first pour: an hour stays an hour long across a clock change.</summary>
    private DateTime Wall(DateTimeOffset time) =>
        DateTime.SpecifyKind(time.ToOffset(_course.Zone.GetUtcOffset(_course.From)).DateTime, DateTimeKind.Unspecified);

    private void Write(string text, double x, double y, Alignment alignment, string colour)
    {
        var label = Plot.Add.Text(text, x, y);
        label.LabelFontName = PaperFonts.Family;
        label.LabelFontSize = TextPt;
        label.LabelFontColor = InChart(colour);
        label.LabelBackgroundColor = InChart(White).WithAlpha(0.9);
        label.LabelAlignment = alignment;
    }

    private static void Quieten(IAxis axis)
    {
        axis.FrameLineStyle.Color = axis.MajorTickStyle.Color = axis.MinorTickStyle.Color = InChart(Quiet);
        axis.FrameLineStyle.Width = axis.MajorTickStyle.Width = 0.6f;
        axis.MinorTickStyle.Width = 0.4f;
        axis.TickLabelStyle.FontSize = axis.Label.FontSize = TextPt + 0.5f;
        axis.TickLabelStyle.ForeColor = axis.Label.ForeColor = InChart(Quiet);
    }

    private DateTimeManual Ticks(bool labelTime)
    {
        var ticks = new DateTimeManual();
        var stepHours = (_course.To - _course.From).TotalHours switch { <= 20 => 2, <= 40 => 4, <= 60 => 6, <= 110 => 12, <= 240 => 24, _ => 48 };
        var (first, last) = (Wall(_course.From), Wall(_course.To));
        for (var time = first.Date; time <= last; time = time.AddHours(stepHours))
            // A label at the very end would be cut.
            if (time >= first) ticks.AddMajor(time, labelTime && last - time > (last - first) / 40 ? TickText(time, time - first < TimeSpan.FromHours(stepHours)) : "");
        return ticks;
    }

    private static string TickText(DateTime time, bool first) => time.TimeOfDay == TimeSpan.Zero || first
        ? time.ToString(time.TimeOfDay == TimeSpan.Zero ? "d MMM" : "HH:mm\nd MMM", CultureInfo.InvariantCulture)
        : time.ToString("HH:mm", CultureInfo.InvariantCulture);

    /// <summary>A curve as fine as it is seen: of each point of the axis its first and last value, its lowest and highest.</summary>
    private IEnumerable<CoursePoint> Thinned(IReadOnlyList<CoursePoint> points) => points
        .GroupBy(point => (int)Math.Floor((point.Time - _course.From) / (_course.To - _course.From) * CureChart.WidthPt))
        .SelectMany(group => new[] { group.First(), group.MinBy(point => point.Value)!, group.MaxBy(point => point.Value)!, group.Last() }
            .DistinctBy(point => point.Time).OrderBy(point => point.Time));
}
