using System.Globalization;
using System.Text;
using System.Xml;
using System.Xml.Linq;
using SkiaSharp;

namespace Pourwright.Studio.Paper;

/// <summary>A line of text around a chart: the left end of its baseline and its size in points.</summary>
public sealed record ChartText(string Text, float X, float Y, float SizePt, string Colour, bool Bold = false);

/// <summary>Turns strokes on a canvas into a file. Sizes of the sheet are in points, of the picture in pixels.</summary>
public static class ChartCanvas
{
    private const string Families = $"'{PaperFonts.Family}', Verdana, sans-serif";

    private static readonly XNamespace Namespace = "http://www.w3.org/2000/svg";

    public static byte[] Png(float widthPt, float heightPt, int widthPx, Action<SKCanvas> paint, params IReadOnlyList<ChartText> texts)
    {
        var scale = widthPx / widthPt;
        using var surface = SKSurface.Create(new SKImageInfo(widthPx, (int)Math.Round(heightPt * scale)));
        surface.Canvas.Clear(SKColors.White);
        surface.Canvas.Scale(scale);
        foreach (var text in texts) Write(surface.Canvas, text);
        paint(surface.Canvas);
        using var image = surface.Snapshot();
        using var png = image.Encode(SKEncodedImageFormat.Png, 100);
        return png.ToArray();
    }

    /// <param name="paint">The strokes.</param>
    /// <param name="texts">The text around them.</param>
    /// <param name="title">What it shows, for those who hear it.</param>
    /// <param name="words">What it says, for those who hear it.</param>
    public static byte[] Svg(
        float widthPt, float heightPt, int widthPx, Action<SKCanvas> paint, IReadOnlyList<ChartText> texts, string title, string words)
    {
        var document = Strokes(widthPt, heightPt, paint);
        var svg = document.Root!;
        svg.SetAttributeValue("viewBox", string.Create(CultureInfo.InvariantCulture, $"0 0 {widthPt:0.##} {heightPt:0.##}"));
        svg.SetAttributeValue("width", widthPx);
        svg.SetAttributeValue("height", (int)Math.Round(heightPt * widthPx / widthPt));
        svg.SetAttributeValue("role", "img");
        foreach (var text in svg.Descendants(Namespace + "text")) Loosen(text);
        Renumber(svg);
        svg.AddFirst(new XElement(Namespace + "title", title), new XElement(Namespace + "desc", words), Sheet(), texts.Select(Element));
        using var bytes = new MemoryStream();
        using (var writer = XmlWriter.Create(bytes, new() { Encoding = new UTF8Encoding(false) })) document.Save(writer);
        return bytes.ToArray();
    }

    private static void Write(SKCanvas canvas, ChartText text)
    {
        using var font = PaperFonts.Font(text.SizePt, text.Bold);
        using var ink = new SKPaint { Color = SKColor.Parse(text.Colour), IsAntialias = true };
        canvas.DrawText(text.Text, text.X, text.Y, font, ink);
    }

    /// <summary>Text that Skia never sees: it would drop letters that our font lacks and the reader's may have.</summary>
    private static XElement Element(ChartText text) => new(Namespace + "text",
        new XAttribute("fill", text.Colour), new XAttribute("font-size", text.SizePt), new XAttribute("font-family", Families),
        text.Bold ? new XAttribute("font-weight", "600") : null, new XAttribute("x", text.X), new XAttribute("y", text.Y), text.Text);

    /// <summary>On a dark page as well it is drawn on white.</summary>
    private static XElement Sheet() => new(Namespace + "rect",
        new XAttribute("width", "100%"), new XAttribute("height", "100%"), new XAttribute("fill", PaperColours.White));

    private static XDocument Strokes(float widthPt, float heightPt, Action<SKCanvas> paint)
    {
        using var bytes = new SKDynamicMemoryWStream();
        using (var canvas = SKSvgCanvas.Create(SKRect.Create(widthPt, heightPt), bytes)) paint(canvas);
        using var drawn = bytes.DetachAsData();
        return XDocument.Load(drawn.AsStream());
    }

    /// <summary>Skia sets every letter at its place. Here the first one has a place: text stays text, also in a font like ours.</summary>
    private static void Loosen(XElement text)
    {
        text.Value = text.Value.Trim();
        text.SetAttributeValue("font-family", Families);
        foreach (var place in new[] { "x", "y" }) text.SetAttributeValue(place, text.Attribute(place)?.Value.Split(',')[0]);
    }

    /// <summary>Skia numbers its clips through the life of the process: the same picture would never be the same twice.</summary>
    private static void Renumber(XElement svg)
    {
        var ids = svg.Descendants().Attributes("id").Select((id, index) => (id, index)).ToDictionary(each => each.id.Value, each => $"clip{each.index}");
        foreach (var id in svg.Descendants().Attributes("id")) id.Value = ids[id.Value];
        foreach (var clip in svg.Descendants().Attributes("clip-path")) clip.Value = $"url(#{ids[clip.Value[5..^1]]})";
    }
}
