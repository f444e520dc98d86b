using Pourwright.Studio.Paper;
using ScottPlot;
using SkiaSharp;

namespace Pourwright.Studio.Trace;

/// <summary>Marks at points of a chart, drawn as in its key.</summary>
/// <remarks>
/// Not the chart library's: it lets go of a mark's path while Skia still reads it, and when memory is collected in that instant, the process
/// ends. An SVG takes longest over a path.
/// </remarks>
/// <param name="at">Where.</param>
/// <param name="shape">One of those that <see cref="ChartKeys.Mark"/> knows.</param>
/// <param name="sizePt">From side to side.</param>
internal sealed class Marks(IReadOnlyList<Coordinates> at, ChartSample shape, float sizePt) : IPlottable
{
    public bool IsVisible { get; set; } = true;

    public IAxes Axes { get; set; } = new Axes();

    public IEnumerable<LegendItem> LegendItems => [];

    public AxisLimits GetAxisLimits() => new(at);

    public void Render(RenderPack rp)
    {
        foreach (var pixel in at.Select(Axes.GetPixel)) ChartKeys.Mark(rp.Canvas, shape, pixel.X, pixel.Y, sizePt / 2, PaperColours.Ink);
    }
}
