using System.Globalization;
using Pourwright.V1;
using ScottPlot;
using ScottPlot.TickGenerators;
using static Pourwright.Studio.Trace.TraceColours;
using Color = ScottPlot.Color;

namespace Pourwright.Studio.Trace;

/// <summary>Draws the course of a cure: temperatures above, conversion below, on one time axis.</summary>
/// <remarks>Sizes are in points (1/72 inch) and drawn at 300 dots per inch.</remarks>
public static class CureChart
{
    public const int WidthPt = 493;
    public const int TemperatureHeightPt = 160;
    public const int ConversionHeightPt = 138;

    private const double DotsPerPoint = 300.0 / 72;
    private const float TextPt = 7.5f;

    /// <summary>Where the touch tests stand: at the foot of the conversion, which they do not measure.</summary>
    private const double TouchLevel = 0.08;

    /// <summary>PNG of the room as recorded, the middle as forecast, and what was measured.</summary>
    public static byte[] Temperatures(CureCourse course)
    {
        using var plot = Blank(course, "°C", labelTime: false);
        ShadeGaps(plot, course);
        foreach (var stretch in course.Room) Line(plot, course, stretch, Room);
        Line(plot, course, course.Middle, Middle);
        if (course.MinCureTemperatureCelsius is { } least) plot.Add.HorizontalLine(least, 0.8f, InChart(Quiet), LinePattern.Dotted);
        plot.Add.Markers(At(course, course.Surfaces), MarkerShape.OpenCircle, 6, InChart(Ink)).MarkerLineWidth = 1;
        double[] shown = [.. course.Room.SelectMany(point => point).Concat(course.Middle).Concat(course.Surfaces).Select(point => point.Value)];
        // With nothing to show, a room that people work in.
        plot.Axes.SetLimitsY(shown.Append(course.MinCureTemperatureCelsius ?? 20).Min() - 2, shown.DefaultIfEmpty(25).Max() + 2);
        foreach (var (pours, row) in Crowds(course, course.Pours).Select((crowd, i) => (crowd, i % 2))) Flag(plot, course, pours, Ink, row);
        foreach (var (steps, row) in Crowds(course, course.Steps).Select((crowd, i) => (crowd, i % 2))) Flag(plot, course, steps, Accent, row);
        return Png(plot, TemperatureHeightPt);
    }

    /// <summary>PNG of the conversion as forecast, the gates from their earliest to their safe time, and the touch tests.</summary>
    public static byte[] Conversion(CureCourse course)
    {
        using var plot = Blank(course, "conversion", labelTime: true);
        for (var rank = 0; rank < course.Gates.Count; rank++) Band(plot, course, course.Gates[rank], rank);
        Line(plot, course, course.Conversion, Middle);
        foreach (var touch in course.Touches.GroupBy(touch => touch.Touch).OrderBy(group => group.Key)) Touches(plot, course, [.. touch], touch.Key);
        plot.Axes.SetLimitsY(0, 1.42);
        plot.Axes.Left.TickGenerator = new NumericManual([0, 0.25, 0.5, 0.75, 1], ["0", "0.25", "0.50", "0.75", "1.00"]);
        return Png(plot, ConversionHeightPt);
    }

    /// <summary>What stands in the upper chart.</summary>
    public static IReadOnlyList<ChartKey> TemperatureKeys(CureCourse course) => Present(
        (course.Room.Count > 0, new(ChartSample.Line, Room, "room, as recorded")),
        (course.Room.Count > 1, new(ChartSample.Stripes, Rule, "no readings")),
        (course.Middle.Count > 0, new(ChartSample.Line, Middle, "middle, as forecast")),
        (course.Surfaces.Count > 0, new(ChartSample.Circle, Ink, "surface, as measured")),
        (course.MinCureTemperatureCelsius is not null, new(ChartSample.Dots, Quiet, "coldest by the data sheet")));

    /// <summary>What stands in the lower chart.</summary>
    public static IReadOnlyList<ChartKey> ConversionKeys(CureCourse course) => Present(
        (course.Conversion.Count > 0, new(ChartSample.Line, Middle, "slowest point, as forecast")),
        (course.Gates.Count > 0, new(ChartSample.Band, Accent, "gate, earliest to safe")),
        (Touched(course, Check.Types.Touch.Tacky), new(ChartSample.Triangle, Ink, "touch: tacky")),
        (Touched(course, Check.Types.Touch.Soft), new(ChartSample.Diamond, Ink, "touch: soft")),
        (Touched(course, Check.Types.Touch.Firm), new(ChartSample.Square, Ink, "touch: firm")));

    private static bool Touched(CureCourse course, Check.Types.Touch kind) => course.Touches.Any(touch => touch.Touch == kind);

    private static IReadOnlyList<ChartKey> Present(params (bool Shown, ChartKey Key)[] keys) =>
        [.. keys.Where(key => key.Shown).Select(key => key.Key)];

    private static Plot Blank(CureCourse course, string unit, bool labelTime)
    {
        TraceFonts.Use();
        var plot = new Plot { ScaleFactor = DotsPerPoint };
        plot.Font.Set(TraceFonts.Family);
        plot.FigureBackground.Color = plot.DataBackground.Color = InChart(Paper);
        plot.Axes.SetLimitsX(X(course, course.From), X(course, course.To));
        plot.Axes.Bottom.TickGenerator = Ticks(course, labelTime);
        plot.Axes.Left.Label.Text = unit;
        plot.Axes.Left.Label.Bold = false;
        plot.Grid.MajorLineColor = InChart(Rule).WithAlpha(0.6);
        plot.Grid.MajorLineWidth = 0.4f;
        foreach (var axis in new IAxis[] { plot.Axes.Left, plot.Axes.Bottom }) Quieten(axis);
        plot.Axes.Right.FrameLineStyle.Width = plot.Axes.Top.FrameLineStyle.Width = 0;
        // The same in both charts: their time axes stand under each other.
        plot.Layout.Fixed(new PixelPadding(38, 6, labelTime ? 24 : 6, 8));
        plot.HideLegend();
        return plot;
    }

    private static void Quieten(IAxis axis)
    {
        axis.FrameLineStyle.Color = axis.MajorTickStyle.Color = axis.MinorTickStyle.Color = InChart(Quiet);
        axis.FrameLineStyle.Width = axis.MajorTickStyle.Width = 0.6f;
        axis.MinorTickStyle.Width = 0.4f;
        axis.TickLabelStyle.FontSize = axis.Label.FontSize = TextPt;
        axis.TickLabelStyle.ForeColor = axis.Label.ForeColor = InChart(Quiet);
    }

    private static DateTimeManual Ticks(CureCourse course, bool labelTime)
    {
        var ticks = new DateTimeManual();
        var stepHours = (course.To - course.From).TotalHours switch { <= 20 => 2, <= 40 => 4, <= 60 => 6, <= 110 => 12, _ => 24 };
        var (first, last) = (Wall(course, course.From), Wall(course, course.To));
        for (var time = first.Date; time <= last; time = time.AddHours(stepHours))
            if (time >= first) ticks.AddMajor(time, labelTime ? TickText(time, time - first < TimeSpan.FromHours(stepHours)) : "");
        return ticks;
    }

    private static string TickText(DateTime time, bool first) => time.TimeOfDay == TimeSpan.Zero || first
        ? time.ToString(time.TimeOfDay == TimeSpan.Zero ? "d MMM" : "HH:mm\nd MMM", CultureInfo.InvariantCulture)
        : time.ToString("HH:mm", CultureInfo.InvariantCulture);

    private static void ShadeGaps(Plot plot, CureCourse course)
    {
        foreach (var (before, after) in course.Room.Zip(course.Room.Skip(1)))
        {
            var span = plot.Add.HorizontalSpan(X(course, before[^1].Time), X(course, after[0].Time), InChart(Stripe));
            span.FillHatch = new ScottPlot.Hatches.Striped(ScottPlot.Hatches.StripeDirection.DiagonalUp);
            span.FillHatchColor = InChart(Rule);
            span.LineWidth = 0;
        }
    }

    private static void Line(Plot plot, CureCourse course, IReadOnlyList<CoursePoint> points, string colour) =>
        plot.Add.ScatterLine(At(course, points), InChart(colour)).LineWidth = 1.4f;

    /// <summary>Marks too close for a label each, first to last.</summary>
    private static List<List<CourseMark>> Crowds(CureCourse course, IReadOnlyList<CourseMark> marks)
    {
        List<List<CourseMark>> crowds = [];
        foreach (var mark in marks.OrderBy(mark => mark.Time))
        {
            if (crowds.Count == 0 || mark.Time - crowds[^1][0].Time > (course.To - course.From) / 12) crowds.Add([]);
            crowds[^1].Add(mark);
        }
        return crowds;
    }

    /// <param name="row">0 or 1: labels of neighbours stand on two lines, since one may reach over the other.</param>
    private static void Flag(Plot plot, CureCourse course, List<CourseMark> marks, string colour, int row)
    {
        foreach (var mark in marks) plot.Add.VerticalLine(X(course, mark.Time), 0.8f, InChart(colour), LinePattern.Dashed);
        var text = string.Join(", ", marks.Select(mark => mark.Text).Distinct());
        var limits = plot.Axes.GetLimits();
        var (first, last, top) = (X(course, marks[0].Time), X(course, marks[^1].Time), limits.Top - row * 0.07 * limits.VerticalSpan);
        // Outside the lines, on the side where there is room.
        var (left, right) = (X(course, course.From), X(course, course.To));
        if (right - last < (right - left) / 4) Label(plot, text + " ", first, top, Alignment.UpperRight, colour);
        else Label(plot, " " + text, last, top, Alignment.UpperLeft, colour);
    }

    private static void Band(Plot plot, CureCourse course, CourseGate gate, int rank)
    {
        var (earliest, safe) = (X(course, gate.Earliest), X(course, gate.Safe));
        var (bottom, top) = (1.08 + 0.11 * rank, 1.17 + 0.11 * rank);
        var band = plot.Add.Rectangle(earliest, safe, bottom, top);
        band.FillColor = InChart(Accent).WithAlpha(0.25);
        band.LineWidth = 0;
        var line = plot.Add.Line(safe, 0, safe, top);
        (line.LineWidth, line.LineColor) = (0.9f, InChart(Accent));
        var safeTime = TimeZoneInfo.ConvertTime(gate.Safe, course.Zone).ToString("d MMM HH:mm", CultureInfo.InvariantCulture);
        var text = $"{TraceWords.Of(gate.Gate)}: safe {safeTime}";
        var (left, right, middle) = (X(course, course.From), X(course, course.To), (bottom + top) / 2);
        // Beside the band, on the side where there is room.
        if (earliest - left > right - safe) Label(plot, text + " ", earliest, middle, Alignment.MiddleRight, Accent);
        else Label(plot, " " + text, safe, middle, Alignment.MiddleLeft, Accent);
    }

    private static void Touches(Plot plot, CureCourse course, IReadOnlyList<CourseTouch> touches, Check.Types.Touch kind)
    {
        var shape = kind switch
        {
            Check.Types.Touch.Tacky => MarkerShape.OpenTriangleUp,
            Check.Types.Touch.Soft => MarkerShape.OpenDiamond,
            _ => MarkerShape.FilledSquare,
        };
        var points = At(course, [.. touches.Select(touch => new CoursePoint(touch.Time, TouchLevel))]);
        plot.Add.Markers(points, shape, 7, InChart(Ink)).MarkerLineWidth = 1.1f;
    }

    private static void Label(Plot plot, string text, double x, double y, Alignment alignment, string colour)
    {
        var label = plot.Add.Text(text, x, y);
        label.LabelFontName = TraceFonts.Family;
        label.LabelFontSize = TextPt - 0.5f;
        label.LabelFontColor = InChart(colour);
        label.LabelAlignment = alignment;
    }

    private static Coordinates[] At(CureCourse course, IReadOnlyList<CoursePoint> points) =>
        [.. points.Select(point => new Coordinates(X(course, point.Time), point.Value))];

    private static double X(CureCourse course, DateTimeOffset time) => Wall(course, time).ToOADate();

    /// <summary>Wall-clock time at the offset of the first pour: an hour stays an hour long across a clock change.</summary>
    private static DateTime Wall(CureCourse course, DateTimeOffset time) =>
        DateTime.SpecifyKind(time.ToOffset(course.Zone.GetUtcOffset(course.From)).DateTime, DateTimeKind.Unspecified);

    private static byte[] Png(Plot plot, int heightPt) =>
        plot.GetImageBytes((int)(WidthPt * DotsPerPoint), (int)(heightPt * DotsPerPoint), ImageFormat.Png);
}

/// <summary>How something looks in a chart.</summary>
public enum ChartSample { Line, Dots, Stripes, Band, Circle, Triangle, Diamond, Square }

/// <summary>An entry of a chart's key.</summary>
public sealed record ChartKey(ChartSample Sample, string Colour, string Text);
