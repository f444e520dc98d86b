using System.Buffers.Binary;
using PdfSharp.Pdf.IO;
using Pourwright.Studio.Paper.Labels;
using SkiaSharp;

namespace Pourwright.Studio.Tests.Labels;

public sealed class LabelSheetTests
{
    private static readonly DateTimeOffset Made = new(2026, 3, 7, 8, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Print_TwelveLabels_FitAPageAndEveryCodeIsRead()
    {
        var pdf = LabelSheet.Print([.. Enumerable.Range(0, 12).Select(Label)], Made);

        Assert.Equal(1, Pages(pdf));
        Assert.Equal([.. Enumerable.Range(0, 12).Select(number => Label(number).Address).Order(StringComparer.Ordinal)], PrintedLabels.Codes(pdf));
        Assert.All(Enumerable.Range(0, 12), number => Assert.Contains($"can-{number}", PrintedLabels.Text(pdf), StringComparison.Ordinal));
    }

    [Fact]
    public void Print_ThirteenLabels_TakeTwoPages() => Assert.Equal(2, Pages(LabelSheet.Print([.. Enumerable.Range(0, 13).Select(Label)], Made)));

    /// <summary>Ids go to 63 characters and an address to some 200: the code is set in lines, and its QR code still read.</summary>
    [Fact]
    public void Print_LongestNames_AreStillRead()
    {
        var id = new string('m', 63);
        var address = $"https://trace.a-studio-with-a-long-name.example.org/v1/studios/{id}/containers/{id}";
        var pdf = LabelSheet.Print([new("Container", id, address, ["Part A, resin"])], Made);

        Assert.Equal([address], PrintedLabels.Codes(pdf));
        Assert.Contains(id, string.Concat(PrintedLabels.Text(pdf).Where(letter => letter == 'm')), StringComparison.Ordinal);
        // The first label ends 51 + 110 points down the page.
        Assert.InRange(PrintedLabels.Bottoms(pdf).Where(bottom => bottom < 700).Max(), 100, 161);
    }

    /// <summary>241.64 by 110 points at 72 an inch: 85 by 39 mm at each printer's own dots, read back dot for dot.</summary>
    [Theory]
    [InlineData(150, 503, 229)]
    [InlineData(203, 681, 310)]
    [InlineData(300, 1006, 458)]
    [InlineData(600, 2013, 916)]
    public void Picture_AtAPrintersResolution_IsReadAndSaysItsSize(int dotsPerInch, int widthPx, int heightPx)
    {
        var png = LabelPicture.Print(Label(7), dotsPerInch);
        using var codec = SKCodec.Create(new MemoryStream(png));

        Assert.Equal((widthPx, heightPx), (codec.Info.Width, codec.Info.Height));
        Assert.Equal(Label(7).Address, PrintedLabels.Code(png));
        // The chunk pHYs: dots a metre, both ways, then the unit.
        var at = png.AsSpan().IndexOf("pHYs"u8);
        Assert.Equal((int)Math.Round(dotsPerInch / 0.0254), BinaryPrimitives.ReadInt32BigEndian(png.AsSpan(at + 4)));
        Assert.Equal(1, png[at + 12]);
    }

    [Fact]
    public void Picture_LongestNames_IsStillRead()
    {
        var id = new string('m', 63);
        var address = $"https://trace.a-studio-with-a-long-name.example.org/v1/studios/{id}/containers/{id}";
        Assert.Equal(address, PrintedLabels.Code(LabelPicture.Print(new("Container", id, address, ["Part A, resin"]), 203)));
    }

    /// <summary>Version 1 has 21 modules a side [ISO/IEC 18004, from memory]; four of quiet on each side make 29.</summary>
    [Fact]
    public void QrModules_ShortText_HaveTheirQuietZone()
    {
        var modules = QrModules.Of("A1");
        Assert.Equal(29, modules.Side);
        Assert.All(modules.Dark, run => Assert.True(run.X >= 4 && run.Y >= 4 && run.X + run.Length <= 25 && run.Y < 25));
    }

    private static Label Label(int number) =>
        new("Container", $"can-{number}", $"https://studio.example.org/v1/studios/alder/containers/can-{number}", ["Part A, resin of deep"]);

    private static int Pages(byte[] pdf)
    {
        using var document = PdfReader.Open(new MemoryStream(pdf), PdfDocumentOpenMode.Import);
        return document.PageCount;
    }
}
