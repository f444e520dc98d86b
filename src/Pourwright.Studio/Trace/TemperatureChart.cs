using System.Globalization;
using Pourwright.Studio.Paper;
using ScottPlot;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Trace;

/// <summary>The room as recorded, the resin as forecast, and what was measured and done.</summary>
internal static class TemperatureChart
{
    /// <summary>Height of its axis; of one that shares a page with much else.</summary>
    public const float SpanPt = 150, SmallSpanPt = 60;

    public static float HeightPt(bool labelTime, float spanPt = SpanPt) => ChartPlot.HeightPt(spanPt, labelTime);

    public static IReadOnlyList<ChartKey> Keys(CureCourse course) => CureChart.Present(
        (course.Room.Count > 0, new(ChartSample.Thick, Room, "room, as recorded")),
        (course.Room.Count > 1, new(ChartSample.Stripes, Rule, "no readings")),
        (course.Top.Count > 0, new(ChartSample.Dots, Top, "top of the resin")),
        (course.Middle.Count > 0, new(ChartSample.Line, Middle, "its middle")),
        (course.Base.Count > 0, new(ChartSample.Dashes, Base, "its base, as forecast")),
        (course.Surfaces.Count > 0, new(ChartSample.Circle, Ink, "surface, as measured")),
        (course.MinCureTemperatureCelsius is not null, new(ChartSample.DashDots, Quiet, "coldest by the data sheet")));

    /// <param name="course">What is drawn.</param>
    /// <param name="labelTime">Nothing stands below it that would.</param>
    /// <param name="spanPt">Height of its axis.</param>
    public static ChartPlot Draw(CureCourse course, bool labelTime, float spanPt = SpanPt)
    {
        var chart = new ChartPlot(course, HeightPt(labelTime, spanPt), "°C", labelTime);
        // Labels keep their height in points; a low chart has room for one line of them.
        var (rows, share) = (spanPt < SpanPt ? 1 : 2, SpanPt / spanPt);
        SetLimits(chart.Plot, course, rows * share);
        ShadeGaps(chart, course);
        foreach (var stretch in course.Room) chart.Line(stretch, Room, 1.8f);
        chart.Line(course.Base, Base, 0.9f, ChartKey.Dashes);
        chart.Line(course.Top, Top, 1.1f, ChartKey.Dots);
        chart.Line(course.Middle, Middle, 0.9f);
        if (course.MinCureTemperatureCelsius is { } least)
            chart.Plot.Add.HorizontalLine(least, 0.8f, InChart(Quiet)).LinePattern = ChartPlot.Pattern(ChartKey.DashDots);
        chart.Mark(course.Surfaces, ChartSample.Circle, 6);
        foreach (var (pours, row) in Crowds(course, course.Pours).Select((crowd, i) => (crowd, i % rows))) Flag(chart, pours, Ink, row, share);
        foreach (var (steps, row) in Crowds(course, course.Steps).Select((crowd, i) => (crowd, i % rows))) Flag(chart, steps, Accent, row, share);
        if (course.ForecastTime is { } now) MarkNow(chart, course, now, share);
        return chart;
    }

    private static void SetLimits(Plot plot, CureCourse course, double rows)
    {
        double[] shown = [.. course.Room.SelectMany(stretch => stretch).Concat(course.Base).Concat(course.Middle).Concat(course.Top)
            .Concat(course.Surfaces).Select(point => point.Value)];
        // With nothing to show, a room that people work in.
        var (least, most) = (shown.Append(course.MinCureTemperatureCelsius ?? 20).Min() - 2, shown.DefaultIfEmpty(25).Max() + 1);
        // The labels of pours and steps stand above the curves.
        plot.Axes.SetLimitsY(least, most + 0.09 * rows * (most - least));
    }

    private static void ShadeGaps(ChartPlot chart, CureCourse course)
    {
        var limits = chart.Plot.Axes.GetLimits();
        foreach (var (before, after) in course.Room.Zip(course.Room.Skip(1)))
            chart.Hatch(new(chart.X(before[^1].Time), chart.X(after[0].Time), limits.Bottom, limits.Top), Rule, rising: true);
    }

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

    /// <param name="chart">Where.</param>
    /// <param name="marks">What.</param>
    /// <param name="colour">Of line and label.</param>
    /// <param name="row">0 or 1: labels of neighbours stand on two lines, since one may reach over the other.</param>
    /// <param name="share">By how much lower the chart is than usual.</param>
    private static void Flag(ChartPlot chart, List<CourseMark> marks, string colour, int row, double share)
    {
        foreach (var mark in marks) chart.Vertical(mark.Time, colour, ChartKey.Dashes);
        var limits = chart.Plot.Axes.GetLimits();
        chart.Label(string.Join(", ", marks.Select(mark => mark.Text).Distinct()),
            chart.X(marks[0].Time), chart.X(marks[^1].Time), limits.Top - (0.035 + row * 0.07) * share * limits.VerticalSpan, colour);
    }

    /// <summary>Now, as the forecast knew it.</summary>
    private static void MarkNow(ChartPlot chart, CureCourse course, DateTimeOffset now, double share)
    {
        chart.Vertical(now, Ink);
        var limits = chart.Plot.Axes.GetLimits();
        var text = TimeZoneInfo.ConvertTime(now, course.Zone).ToString("'as of' d MMM HH:mm", CultureInfo.InvariantCulture);
        chart.Label(text, chart.X(now), chart.X(now), limits.Bottom + 0.04 * share * limits.VerticalSpan, Ink);
    }
}
