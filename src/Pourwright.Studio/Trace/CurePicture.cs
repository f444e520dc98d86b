using Pourwright.Studio.Paper;
using SkiaSharp;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Trace;

/// <summary>A piece's forecast as one picture: title, what made it, both charts, and the caution.</summary>
public sealed record CurePicture(string Title, string Source, CureCourse Course)
{
    /// <summary>The line under every picture.</summary>
    public const string Caution = "Forecast, not proof: test by touch first.";

    private const float MarginPt = 14, TitlePt = 13, TitleLinePt = 17, TextPt = 7.5f, LinePt = 10.5f;

    private static float WidthPt => CureChart.WidthPt + 2 * MarginPt;

    public byte[] Png(int widthPx) => ChartCanvas.Png(WidthPt, HeightPt(), widthPx, Paint, Texts());

    public byte[] Svg(int widthPx) => ChartCanvas.Svg(WidthPt, HeightPt(), widthPx, Paint, Texts(), Title,
        string.Join(" ", [Source, .. ConversionChart.Words(Course).Select(words => $"{TraceWords.Capital(words)}."), Caution]));

    private float HeightPt() => ChartsTopPt() + CureChart.HeightPt(Course) + LinePt + MarginPt;

    private float ChartsTopPt() => MarginPt + Lines(Title, TitlePt, bold: true).Count * TitleLinePt + Lines(Source, TextPt).Count * LinePt + 5;

    private void Paint(SKCanvas canvas)
    {
        canvas.Translate(MarginPt, ChartsTopPt());
        CureChart.Paint(canvas, Course);
    }

    private List<ChartText> Texts()
    {
        List<ChartText> texts = [];
        var y = MarginPt - 3;
        foreach (var line in Lines(Title, TitlePt, bold: true)) texts.Add(new(line, MarginPt, y += TitleLinePt, TitlePt, Ink, Bold: true));
        foreach (var line in Lines(Source, TextPt)) texts.Add(new(line, MarginPt, y += LinePt, TextPt, Quiet));
        texts.Add(new(Caution, MarginPt, HeightPt() - MarginPt, TextPt, Alarm, Bold: true));
        return texts;
    }

    private static IReadOnlyList<string> Lines(string text, float sizePt, bool bold = false)
    {
        using var font = PaperFonts.Font(sizePt, bold);
        return LineBreaks.Wrap(text, CureChart.WidthPt, part => font.MeasureText(part));
    }
}
