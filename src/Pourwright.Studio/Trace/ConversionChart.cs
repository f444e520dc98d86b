using System.Globalization;
using Pourwright.Studio.Paper;
using Pourwright.V1;
using ScottPlot;
using ScottPlot.TickGenerators;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Trace;

/// <summary>The conversion as forecast; above it a row for each gate and for the next layer; at its foot what people felt and measured.</summary>
internal static class ConversionChart
{
    /// <summary>Height of the conversion from 0 to 1, and of a row above it.</summary>
    private const float UnitPt = 74, RowPt = 10;

    /// <summary>Half of the height of a band.</summary>
    private const double HalfBand = 0.4 * RowPt / UnitPt;

    /// <summary>Where touch tests and hardness stand, as conversions, which they do not measure.</summary>
    private const double TouchLevel = 0.09, HardnessLevel = 0.24;

    public static float HeightPt(CureCourse course) => ChartPlot.HeightPt((float)(Top(course) * UnitPt), labelTime: true);

    public static IReadOnlyList<ChartKey> Keys(CureCourse course) => CureChart.Present(
        (course.Conversion.Count > 0, new(ChartSample.Line, Middle, "slowest point, as forecast")),
        (course.Gates.Count > 0, new(ChartSample.Band, Accent, "gate: earliest, likely, safe")),
        (course.NextLayer is not null, new(ChartSample.Window, Accent, "next layer without sanding, best time")),
        (Touched(course, Check.Types.Touch.Tacky), new(Shape(Check.Types.Touch.Tacky), Ink, "touch: tacky")),
        (Touched(course, Check.Types.Touch.Soft), new(Shape(Check.Types.Touch.Soft), Ink, "touch: soft")),
        (Touched(course, Check.Types.Touch.Firm), new(Shape(Check.Types.Touch.Firm), Ink, "touch: firm")),
        (course.Hardness.Count > 0, new(ChartSample.Cross, Ink, "Shore D")));

    public static ChartPlot Draw(CureCourse course)
    {
        var chart = new ChartPlot(course, HeightPt(course), "conversion", labelTime: true);
        chart.Plot.Axes.SetLimitsY(0, Top(course));
        chart.Plot.Axes.Left.TickGenerator = new NumericManual([0, 0.25, 0.5, 0.75, 1], ["0", "0.25", "0.50", "0.75", "1.00"]);
        if (course.ForecastTime is { } now) chart.Vertical(now, Ink);
        chart.Line(course.Conversion, Middle, 1.4f);
        DrawRows(chart, course);
        foreach (var touch in course.Touches.GroupBy(touch => touch.Touch).OrderBy(group => group.Key))
            chart.Mark(touch.Select(t => new CoursePoint(t.Time, TouchLevel)), Shape(touch.Key), 6);
        foreach (var hardness in course.Hardness) Hardness(chart, hardness);
        return chart;
    }

    /// <summary>Safe times and the next layer in words, in the order of the rows.</summary>
    public static IReadOnlyList<string> Words(CureCourse course) => [.. Rows(course).Select(row => row.Words)];

    private static double Top(CureCourse course) => 1.08 + Rows(course).Count * RowPt / UnitPt;

    /// <summary>From top to bottom as time goes: a row's line hangs down at times that later rows have behind them.</summary>
    private static List<Row> Rows(CureCourse course) =>
    [
        .. from gate in course.Stalled
           select new Row($"{TraceWords.Of(gate)}: no safe time without warmth", course.From, course.From, (_, _) => { }),
        .. course.Gates.Select(gate => Of(course, gate)).Concat(course.NextLayer is { } window ? [Of(course, window)] : Array.Empty<Row>())
            .OrderBy(row => row.First),
    ];

    private static Row Of(CureCourse course, CourseGate gate) => new(
        $"{TraceWords.Of(gate.Gate)}: safe {Local(course, gate.Safe)}", gate.Earliest, gate.Safe, (chart, y) => Band(chart, gate, y));

    private static Row Of(CureCourse course, CourseWindow window) => new(
        Words(course, window), window.Opens ?? window.Best, window.Closes ?? window.Best, (chart, y) => Window(chart, window, y));

    private static void DrawRows(ChartPlot chart, CureCourse course)
    {
        (Row Row, double Y)[] rows = [.. Rows(course).Select((row, index) => (row, Top(course) - (index + 0.5) * RowPt / UnitPt))];
        foreach (var (row, y) in rows) row.Draw(chart, y);
        foreach (var (row, y) in rows) chart.Label(row.Words, chart.X(row.First), chart.X(row.Last), y, Accent);
    }

    private static void Band(ChartPlot chart, CourseGate gate, double y)
    {
        var (earliest, safe) = (chart.X(gate.Earliest), chart.X(gate.Safe));
        var band = chart.Plot.Add.Rectangle(earliest, safe, y - HalfBand, y + HalfBand);
        band.FillColor = InChart(Accent).WithAlpha(0.25);
        band.LineWidth = 0;
        Upright(chart, chart.X(gate.Likely), y - HalfBand, y + HalfBand, 1.2f);
        Upright(chart, safe, 0, y + HalfBand, 0.9f);
    }

    private static void Window(ChartPlot chart, CourseWindow window, double y)
    {
        if (window is { Opens: { } opens, Closes: { } closes })
        {
            var area = new CoordinateRect(chart.X(opens), chart.X(closes), y - HalfBand, y + HalfBand);
            chart.Hatch(area, Accent, rising: false);
            var frame = chart.Plot.Add.Rectangle(area);
            frame.FillColor = Colors.Transparent;
            (frame.LineWidth, frame.LineColor) = (0.6f, InChart(Accent));
        }
        Upright(chart, chart.X(window.Best), y - HalfBand, y + HalfBand, 1.6f);
    }

    private static void Upright(ChartPlot chart, double x, double bottom, double top, float width)
    {
        var line = chart.Plot.Add.Line(x, bottom, x, top);
        (line.LineWidth, line.LineColor) = (width, InChart(Accent));
    }

    private static void Hardness(ChartPlot chart, CourseHardness hardness)
    {
        const float sizePt = 6;
        chart.Mark([new(hardness.Time, HardnessLevel)], ChartSample.Cross, sizePt);
        var (x, half) = (chart.X(hardness.Time), chart.Along(sizePt / 2));
        chart.Label(hardness.ShoreD?.ToString("0.#", CultureInfo.InvariantCulture) ?? "below scale", x - half, x + half, HardnessLevel, Ink);
    }

    private static string Words(CureCourse course, CourseWindow window) => window is { Opens: { } opens, Closes: { } closes }
        ? $"next layer: {Local(course, opens)} to {Local(course, closes)}, best {Local(course, window.Best)}"
        : string.Create(CultureInfo.InvariantCulture, $"next layer: best {Local(course, window.Best)}, in {window.BestShare:0 %} of cases");

    private static string Local(CureCourse course, DateTimeOffset time) =>
        TimeZoneInfo.ConvertTime(time, course.Zone).ToString("d MMM HH:mm", CultureInfo.InvariantCulture);

    private static bool Touched(CureCourse course, Check.Types.Touch kind) => course.Touches.Any(touch => touch.Touch == kind);

    private static ChartSample Shape(Check.Types.Touch kind) => kind switch
    {
        Check.Types.Touch.Tacky => ChartSample.Triangle,
        Check.Types.Touch.Soft => ChartSample.Diamond,
        _ => ChartSample.Square,
    };

    /// <summary>A row above the curve: its words stand beside what is drawn from <paramref name="First"/> to <paramref name="Last"/>.</summary>
    private sealed record Row(string Words, DateTimeOffset First, DateTimeOffset Last, Action<ChartPlot, double> Draw);
}
