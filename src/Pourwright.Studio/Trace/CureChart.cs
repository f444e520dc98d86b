using Pourwright.Studio.Paper;
using SkiaSharp;

namespace Pourwright.Studio.Trace;

/// <summary>Draws the course of a cure: temperatures above, conversion and gates below, on one time axis, each under its key.</summary>
/// <remarks>Lengths are in points (1/72 inch).</remarks>
public static class CureChart
{
    public const float WidthPt = 493;

    public static float HeightPt(CureCourse course) => UpperHeightPt(course) + LowerHeightPt(course);

    /// <summary>PNG for a printer, 300 dots per inch.</summary>
    public static byte[] Print(CureCourse course) =>
        ChartCanvas.Png(WidthPt, HeightPt(course), (int)(WidthPt * 300 / 72), canvas => Paint(canvas, course));

    /// <summary>Temperatures alone, low.</summary>
    public static float SmallHeightPt(CureCourse course) =>
        ChartKeys.HeightPt(TemperatureChart.Keys(course)) + TemperatureChart.HeightPt(labelTime: true, TemperatureChart.SmallSpanPt);

    /// <summary>Temperatures alone, low; PNG for a printer, 300 dots per inch.</summary>
    public static byte[] PrintSmall(CureCourse course) => ChartCanvas.Png(WidthPt, SmallHeightPt(course), (int)(WidthPt * 300 / 72),
        canvas => Paint(canvas, 0, TemperatureChart.Keys(course), TemperatureChart.Draw(course, labelTime: true, TemperatureChart.SmallSpanPt)));

    public static void Paint(SKCanvas canvas, CureCourse course)
    {
        Paint(canvas, 0, TemperatureChart.Keys(course), TemperatureChart.Draw(course, labelTime: !HasConversion(course)));
        if (HasConversion(course)) Paint(canvas, UpperHeightPt(course), ConversionChart.Keys(course), ConversionChart.Draw(course));
    }

    private static void Paint(SKCanvas canvas, float top, IReadOnlyList<ChartKey> keys, ChartPlot chart)
    {
        ChartKeys.Paint(canvas, keys, top);
        using (chart) chart.Paint(canvas, top + ChartKeys.HeightPt(keys));
    }

    internal static IReadOnlyList<ChartKey> Present(params (bool Shown, ChartKey Key)[] keys) =>
        [.. keys.Where(key => key.Shown).Select(key => key.Key)];

    private static bool HasConversion(CureCourse course) => ConversionChart.Keys(course).Count > 0;

    private static float UpperHeightPt(CureCourse course) =>
        ChartKeys.HeightPt(TemperatureChart.Keys(course)) + TemperatureChart.HeightPt(labelTime: !HasConversion(course));

    private static float LowerHeightPt(CureCourse course) =>
        HasConversion(course) ? ChartKeys.HeightPt(ConversionChart.Keys(course)) + ConversionChart.HeightPt(course) : 0;
}
