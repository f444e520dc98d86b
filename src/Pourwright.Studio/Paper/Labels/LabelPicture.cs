using System.Buffers.Binary;
using SkiaSharp;

namespace Pourwright.Studio.Paper.Labels;

/// <summary>One label as a picture, a pixel a dot of the printer.</summary>
public static class LabelPicture
{
    private const double PointsPerInch = 72;
    private const double MetresPerInch = 0.0254;

    /// <summary>A PNG that says how large it is on paper.</summary>
    public static byte[] Print(Label label, int dotsPerInch)
    {
        var scale = (float)(dotsPerInch / PointsPerInch);
        using var surface = SKSurface.Create(new SKImageInfo((int)(LabelFace.Width * scale), (int)(LabelFace.Height * scale)));
        surface.Canvas.Clear(SKColors.White);
        DrawQr(surface.Canvas, label.Address, scale);
        surface.Canvas.Scale(scale);
        foreach (var line in LabelFace.Lines(label, Measure))
            Write(surface.Canvas, line);
        using var image = surface.Snapshot();
        using var png = image.Encode(SKEncodedImageFormat.Png, 100);
        return Sized(png.ToArray(), dotsPerInch);
    }

    private static double Measure(string text, PdfPen pen)
    {
        using var font = PaperFonts.Font((float)pen.SizePt, pen.Bold);
        return font.MeasureText(text);
    }

    /// <summary>Black: a label printer knows no grey, and makes dots of it.</summary>
    private static void Write(SKCanvas canvas, LabelLine line)
    {
        using var font = PaperFonts.Font((float)line.Pen.SizePt, line.Pen.Bold);
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = true };
        canvas.DrawText(line.Text, (float)line.X, (float)line.Y - font.Metrics.Ascent, font, ink);
    }

    /// <summary>Modules of whole dots with sharp edges: the code is a little smaller for it.</summary>
    private static void DrawQr(SKCanvas canvas, string address, float scale)
    {
        var modules = QrModules.Of(address);
        var side = Math.Max(1, (int)(LabelFace.QrSide * scale / modules.Side));
        var margin = (LabelFace.QrSide * scale - side * modules.Side) / 2;
        var (left, top) = ((int)(LabelFace.QrX * scale + margin), (int)(LabelFace.QrY * scale + margin));
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = false };
        foreach (var run in modules.Dark)
            canvas.DrawRect(SKRect.Create(left + run.X * side, top + run.Y * side, run.Length * side, side), ink);
    }

    /// <summary>With the chunk pHYs behind the first, which always has 25 bytes and follows 8 of signature (PNG, W3C Recommendation, from memory).</summary>
    private static byte[] Sized(byte[] png, int dotsPerInch)
    {
        const int at = 33;
        Span<byte> chunk = stackalloc byte[21];
        var dotsPerMetre = (int)Math.Round(dotsPerInch / MetresPerInch);
        BinaryPrimitives.WriteInt32BigEndian(chunk, 9);
        "pHYs"u8.CopyTo(chunk[4..]);
        BinaryPrimitives.WriteInt32BigEndian(chunk[8..], dotsPerMetre);
        BinaryPrimitives.WriteInt32BigEndian(chunk[12..], dotsPerMetre);
        chunk[16] = 1; // the metre
        BinaryPrimitives.WriteUInt32BigEndian(chunk[17..], Checksum(chunk[4..17]));
        return [.. png[..at], .. chunk, .. png[at..]];
    }

    /// <summary>CRC-32 as PNG has it: polynomial 0xEDB88320, bits reversed, all ones before and after.</summary>
    private static uint Checksum(ReadOnlySpan<byte> bytes)
    {
        var rest = uint.MaxValue;
        foreach (var value in bytes)
        {
            rest ^= value;
            for (var bit = 0; bit < 8; bit++) rest = (rest & 1) == 0 ? rest >> 1 : rest >> 1 ^ 0xEDB88320;
        }
        return ~rest;
    }
}
