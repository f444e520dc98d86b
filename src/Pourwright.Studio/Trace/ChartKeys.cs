using Pourwright.Studio.Paper;
using SkiaSharp;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Trace;

/// <summary>How something looks in a chart.</summary>
public enum ChartSample { Line, Thick, Dashes, Dots, DashDots, Stripes, Band, Window, Circle, Triangle, Diamond, Square, Cross }

/// <summary>An entry of a chart's key.</summary>
public sealed record ChartKey(ChartSample Sample, string Colour, string Text)
{
    /// <summary>Lines that tell apart in a grey copy: strokes and gaps in points.</summary>
    public static readonly float[] Dashes = [5, 2.5f], Dots = [1.2f, 1.8f], DashDots = [6, 2, 1.2f, 2];
}

/// <summary>Sets the key of a chart in rows above it. Lengths are in points (1/72 inch).</summary>
internal static class ChartKeys
{
    private const float TextPt = 7, RowPt = 11, SamplePt = 14, GapPt = 10;

    public static float HeightPt(IReadOnlyList<ChartKey> keys) => Rows(keys).Count * RowPt + 3;

    public static void Paint(SKCanvas canvas, IReadOnlyList<ChartKey> keys, float top)
    {
        using var font = PaperFonts.Font(TextPt);
        using var ink = Fill(Quiet);
        foreach (var (row, y) in Rows(keys).Select((row, index) => (row, top + index * RowPt)))
            foreach (var (key, x) in row)
            {
                Sample(canvas, key, x, y + 2);
                canvas.DrawText(key.Text, x + SamplePt + 4, y + 8, font, ink);
            }
    }

    private static List<List<(ChartKey Key, float X)>> Rows(IReadOnlyList<ChartKey> keys)
    {
        using var font = PaperFonts.Font(TextPt);
        List<List<(ChartKey, float)>> rows = [[]];
        var x = 0f;
        foreach (var key in keys)
        {
            var width = SamplePt + 4 + font.MeasureText(key.Text);
            if (x > 0 && x + width > CureChart.WidthPt)
            {
                rows.Add([]);
                x = 0;
            }
            rows[^1].Add((key, x));
            x += width + GapPt;
        }
        return rows;
    }

    /// <summary>Draws a sample in a box of 14 by 7.</summary>
    private static void Sample(SKCanvas canvas, ChartKey key, float left, float top)
    {
        var (right, bottom, middle, centre) = (left + SamplePt, top + 7, top + 3.5f, left + SamplePt / 2);
        using var thin = Stroke(key.Colour, 1.1f);
        switch (key.Sample)
        {
            case ChartSample.Thick:
                thin.StrokeWidth = 1.8f;
                canvas.DrawLine(left, middle, right, middle, thin);
                break;
            case ChartSample.Line or ChartSample.Dashes or ChartSample.Dots or ChartSample.DashDots:
                using (var dashes = Dashes(key.Sample) is { } pattern ? SKPathEffect.CreateDash(pattern, 0) : null)
                {
                    thin.PathEffect = dashes;
                    canvas.DrawLine(left, middle, right, middle, thin);
                }
                break;
            case ChartSample.Stripes:
                Polyline(canvas, thin, false, (left, bottom), (left + 5, top), (left + 5, bottom), (left + 10, top), (left + 10, bottom), (right, top + 1));
                break;
            case ChartSample.Band:
                using (var tint = Fill(key.Colour, 0x40)) canvas.DrawRect(left, top + 0.5f, SamplePt, 6, tint);
                canvas.DrawLine(centre - 1, top + 0.5f, centre - 1, bottom - 0.5f, thin);
                canvas.DrawLine(right, top - 0.5f, right, bottom + 0.5f, thin);
                break;
            case ChartSample.Window:
                thin.StrokeWidth = 0.6f;
                canvas.DrawRect(left, top + 0.5f, SamplePt, 6, thin);
                foreach (var x in (ReadOnlySpan<float>)[left, left + 4, left + 8]) canvas.DrawLine(x, top + 0.5f, x + 6, top + 6.5f, thin);
                break;
            default:
                Mark(canvas, key.Sample, centre, middle, 3.5f, key.Colour);
                break;
        }
    }

    /// <summary>Circle, triangle, diamond, square or cross of a radius around a centre.</summary>
    public static void Mark(SKCanvas canvas, ChartSample shape, float x, float y, float radius, string colour)
    {
        using var ink = shape == ChartSample.Square ? Fill(colour) : Stroke(colour, 1.1f);
        var (left, right, top, bottom) = (x - radius, x + radius, y - radius, y + radius);
        switch (shape)
        {
            case ChartSample.Circle:
                canvas.DrawCircle(x, y, radius, ink);
                break;
            case ChartSample.Triangle:
                Polyline(canvas, ink, true, (x, top), (right, bottom), (left, bottom));
                break;
            case ChartSample.Diamond:
                Polyline(canvas, ink, true, (x, top), (right, y), (x, bottom), (left, y));
                break;
            case ChartSample.Square:
                canvas.DrawRect(left, top, 2 * radius, 2 * radius, ink);
                break;
            case ChartSample.Cross:
                canvas.DrawLine(left, top, right, bottom, ink);
                canvas.DrawLine(left, bottom, right, top, ink);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(shape), shape, "is not drawn around a centre.");
        }
    }

    private static float[]? Dashes(ChartSample sample) => sample switch
    {
        ChartSample.Dashes => ChartKey.Dashes,
        ChartSample.Dots => ChartKey.Dots,
        ChartSample.DashDots => ChartKey.DashDots,
        _ => null,
    };

    private static void Polyline(SKCanvas canvas, SKPaint ink, bool close, params ReadOnlySpan<(float X, float Y)> points)
    {
        using var path = new SKPath();
        path.MoveTo(points[0].X, points[0].Y);
        foreach (var (x, y) in points[1..]) path.LineTo(x, y);
        if (close) path.Close();
        canvas.DrawPath(path, ink);
    }

    private static SKPaint Stroke(string colour, float width) =>
        new() { Color = SKColor.Parse(colour), Style = SKPaintStyle.Stroke, StrokeWidth = width, IsAntialias = true };

    private static SKPaint Fill(string colour, byte alpha = 0xFF) => new() { Color = SKColor.Parse(colour).WithAlpha(alpha), IsAntialias = true };
}
