using ScottPlot;
using SkiaSharp;

namespace Pourwright.Studio.Trace;

/// <summary>A rectangle of slanting lines. Lines, not a repeated picture as the chart library hatches: they stay sharp at any size.</summary>
internal sealed class Hatched(CoordinateRect area, Color colour, bool rising) : IPlottable
{
    /// <summary>From line to line along the axis, in points.</summary>
    private const float PitchPt = 4;

    public bool IsVisible { get; set; } = true;

    public IAxes Axes { get; set; } = new Axes();

    public IEnumerable<LegendItem> LegendItems => [];

    public AxisLimits GetAxisLimits() => new(area);

    public void Render(RenderPack rp)
    {
        var box = Axes.GetPixelRect(area);
        using var ink = new SKPaint { Color = colour.ToSKColor(), Style = SKPaintStyle.Stroke, StrokeWidth = 0.6f, IsAntialias = true };
        using var lines = new SKPath();
        var (low, high) = rising ? (box.Bottom, box.Top) : (box.Top, box.Bottom);
        for (var x = box.Left - box.Height; x < box.Right; x += PitchPt)
        {
            lines.MoveTo(x, low);
            lines.LineTo(x + box.Height, high);
        }
        rp.Canvas.Save();
        rp.Canvas.ClipRect(new SKRect(box.Left, box.Top, box.Right, box.Bottom));
        rp.Canvas.DrawPath(lines, ink);
        rp.Canvas.Restore();
    }
}
