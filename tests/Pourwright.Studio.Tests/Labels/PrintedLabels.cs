using System.Diagnostics;
using System.Xml.Linq;
using SkiaSharp;
using ZXing;
using ZXing.Common;

namespace Pourwright.Studio.Tests.Labels;

/// <summary>Labels as other programs see them: poppler draws or reads the page, ZXing reads the codes.</summary>
internal static class PrintedLabels
{
    /// <summary>Of every QR code on the first page, at 200 dots an inch: a phone sees more.</summary>
    public static IReadOnlyList<string> Codes(byte[] pdf)
    {
        using var page = SKBitmap.Decode(Run("pdftoppm", pdf, "-r", "200", "-png", "-f", "1", "-l", "1", "-"));
        return [.. (Reader.DecodeMultiple(Grey(page)) ?? []).Select(code => code.Text).Order(StringComparer.Ordinal)];
    }

    /// <summary>Of the one QR code on a picture, dot for dot.</summary>
    public static string Code(byte[] png)
    {
        using var picture = SKBitmap.Decode(png);
        return Reader.Decode(Grey(picture)).Text;
    }

    private static BarcodeReaderGeneric Reader => new() { Options = new DecodingOptions { PossibleFormats = [BarcodeFormat.QR_CODE], TryHarder = true } };

    private static RGBLuminanceSource Grey(SKBitmap picture) =>
        new([.. picture.Pixels.Select(pixel => pixel.Green)], picture.Width, picture.Height, RGBLuminanceSource.BitmapFormat.Gray8);

    public static string Text(byte[] pdf) => System.Text.Encoding.UTF8.GetString(Run("pdftotext", pdf, "-layout", "-", "-"));

    /// <summary>How far down the page each word ends, in points.</summary>
    public static IReadOnlyList<double> Bottoms(byte[] pdf) =>
    [
        .. XDocument.Parse(System.Text.Encoding.UTF8.GetString(Run("pdftotext", pdf, "-bbox", "-", "-"))).Descendants()
            .Where(word => word.Name.LocalName == "word").Select(word => (double)word.Attribute("yMax")!),
    ];

    /// <summary>Both programs are of poppler-utils, which tests/run.sh installs.</summary>
    private static byte[] Run(string program, byte[] input, params string[] arguments)
    {
        using var run = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardInput = true, RedirectStandardOutput = true })!;
        using (var stream = run.StandardInput.BaseStream)
            stream.Write(input);
        using var output = new MemoryStream();
        run.StandardOutput.BaseStream.CopyTo(output);
        run.WaitForExit();
        return output.ToArray();
    }
}
