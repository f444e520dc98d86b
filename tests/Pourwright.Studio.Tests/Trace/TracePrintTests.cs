using PdfSharp.Pdf.IO;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Trace;
using Pourwright.Testing;
using Pourwright.V1;
using SkiaSharp;

namespace Pourwright.Studio.Tests.Trace;

public sealed class TracePrintTests
{
    /// <remarks>
    /// The numbers of the page: the room is 18.6 °C ± 2.6 K, so 16.0 to 21.2 °C. It is below 18 °C where cos &lt; −0.6/2.6, from 6.89 h
    /// after its warmest to 17.11 h after it: of that 12.89–14.83 h, 20.17–23.11 h and 36.89–46 h were recorded, 14.0 h; readings
    /// rounded to 0.1 °C make it 14 h 10 min. The logger was silent from 00:50 to 06:10, 5 h 20 min. The hardener of the first mix:
    /// 850.5/2000 = 42.525 for 100, 1.25 % over 42.
    /// </remarks>
    [Fact]
    public void Text_OfTheInventedPiece_IsTheCheckedInPage() => Assert.Equal(
        File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Reference", "invented_piece_trace.txt")), ReportText.Print(Report()));

    [Fact]
    public void Text_OfAClassByName_SaysWhatPeopleCallItAndItsId()
    {
        var facts = InventedPiece.Facts();
        facts.Piece.CastingClass = $"{InventedPiece.Studio}/classes/boards-march";
        facts.Piece.CastingClassDisplayName = "River boards in March";

        Assert.Contains("River boards in March (boards-march)", ReportText.Print(Report(facts)), StringComparison.Ordinal);
    }

    [Fact]
    public void Text_AnyLine_FitsTheTerminal() =>
        Assert.All(ReportText.Print(Report()).Split('\n'), line => Assert.True(line.Length <= ReportText.Columns, line));

    [Fact]
    public void Text_NamesAsLongAsTheyMayBe_StillFitTheTerminal()
    {
        var facts = InventedPiece.Facts();
        var name = new string('m', 63);
        facts.Pours[0].Mix.Name = $"{InventedPiece.Studio}/mixes/{name}";
        facts.Pours[0].Pour.Mix = facts.Pours[0].Mix.Name;
        facts.Pours[0].Mix.Scale = new string('s', 80);

        var text = ReportText.Print(Report(facts));

        Assert.All(text.Split('\n'), line => Assert.True(line.Length <= ReportText.Columns, line));
        Assert.Contains(name, text, StringComparison.Ordinal);
    }

    [Fact]
    public void Pdf_OfTheInventedPiece_HasThreeA4PagesWithItsTitleAndTime()
    {
        using var document = Open(ReportPdf.Print(Report()));

        Assert.Equal(3, document.PageCount);
        // A4 is 210 mm by 297 mm, 595.3 by 841.9 points (ISO 216).
        Assert.All(Enumerable.Range(0, 3), page => Assert.Equal((595.3, 841.9), (Math.Round(document.Pages[page].Width.Point, 1), Math.Round(document.Pages[page].Height.Point, 1))));
        Assert.Equal("Piece 7 · river-7", document.Info.Title);
        Assert.Equal("Alder · trace of a piece", document.Info.Subject);
    }

    /// <summary>Where pdftotext is installed, what a reader would copy out of the page; in Greek and Cyrillic as well.</summary>
    [Fact]
    public void Pdf_ReadByAnotherProgram_SaysLotCodesNamesAndPages()
    {
        var facts = InventedPiece.Facts();
        facts.Piece.Maker = "Łucja Ковальчук Ελένη";
        var pdf = ReportPdf.Print(Report(facts));

        string[] expected = ["RX-4471", "RX-4502", "HD-0917", "Łucja Ковальчук Ελένη", "Page 3 of 3", "Traced 9 Mar 2026 12:00 +01:00"];
        if (PrintedPage.Text(pdf) is { } text) Assert.All(expected, words => Assert.Contains(words, text, StringComparison.Ordinal));
        else Assert.NotEmpty(pdf);
    }

    [Fact]
    public void Pdf_MoreThanFitsAPage_BreaksTablesAndTurnsTheTreeIntoLines()
    {
        var facts = InventedPiece.Facts();
        var draws = Enumerable.Range(1, 60).Select(can => new DrawTrace
        {
            Draw = new() { Container = $"{InventedPiece.Studio}/containers/can-{can}", MassMg = 1000 }, Part = Part.A, Lots = { InventedPiece.OldResin },
        });
        var sisters = Enumerable.Range(1, 150).Select(can => new SharedFactor { Kind = SharedKinds.Container, Value = $"{InventedPiece.Studio}/containers/can-{can}" });

        using var document = Open(ReportPdf.Print(Report(facts with { Pours = [facts.Pours[0] with { Draws = [.. draws] }], Sisters = [.. sisters] })));

        // 150 rows of 15 points and 60 lines of 10 are 2850 points on pages of 700: four pages more than the three.
        Assert.InRange(document.PageCount, 6, 8);
    }

    [Fact]
    public void Chart_WhereNothingWasRecorded_DrawsNoRoom()
    {
        var course = CureCourse.Of(InventedPiece.Facts())!;
        using var picture = SKBitmap.Decode(CureChart.Print(course));

        // Recorded up to 14.83 h and from 20.17 h on; half an hour of margin for the width of the line.
        Assert.Equal(0, RoomPixels(picture, course, 15.3, 19.7));
        Assert.True(RoomPixels(picture, course, 10, 14) > 100);
        Assert.True(RoomPixels(picture, course, 21, 25) > 100);
    }

    [Fact]
    public void Chart_Width_IsTheTextWidthAt300DotsPerInch()
    {
        using var picture = SKBitmap.Decode(CureChart.Print(CureCourse.Of(InventedPiece.Facts())!));

        // 493 points · 300/72 = 2054 dots.
        Assert.Equal(2054, picture.Width);
    }

    [Fact]
    public void Fonts_OfPageAndChart_ComeFromTheAssembly()
    {
        PaperFonts.Use();
        using var typeface = ScottPlot.Fonts.GetTypeface(PaperFonts.Family, bold: true, italic: false);

        Assert.Equal(PaperFonts.Family, typeface.FamilyName);
        Assert.True(typeface.IsBold);
    }

    private static int RoomPixels(SKBitmap picture, CureCourse course, double fromHours, double toHours)
    {
        var (from, to) = (Column(fromHours), Column(toHours));
        return Enumerable.Range(from, to - from).Sum(x => Enumerable.Range(0, picture.Height).Count(y => IsRoom(picture.GetPixel(x, y))));

        // The axis begins 38 points from the left and ends 6 from the right.
        int Column(double hours) => (int)((38 + (CureChart.WidthPt - 44) * ((InventedPiece.TimeAt(hours) - course.From) / (course.To - course.From))) * 300 / 72);
        static bool IsRoom(SKColor colour) => Math.Abs(colour.Red - 0x2F) + Math.Abs(colour.Green - 0x6F) + Math.Abs(colour.Blue - 0xAF) < 30;
    }

    private static Report Report() => Report(InventedPiece.Facts());

    private static Report Report(PieceFacts facts) =>
        PieceReport.Write(TracePiece.Decide(facts, InventedPiece.Now), InventedPiece.Places, CureCourse.Of(facts));

    private static PdfSharp.Pdf.PdfDocument Open(byte[] pdf) => PdfReader.Open(new MemoryStream(pdf), PdfDocumentOpenMode.Import);
}
