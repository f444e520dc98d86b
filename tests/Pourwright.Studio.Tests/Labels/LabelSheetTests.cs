using PdfSharp.Pdf.IO;
using Pourwright.Studio.Paper.Labels;

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
