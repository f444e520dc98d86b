using System.Text;
using System.Xml.Linq;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using SkiaSharp;

namespace Pourwright.Studio.Tests.Trace;

public sealed class CurePictureTests
{
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    /// <summary>Something drawn, the course without it, its colour, and how many elements of that colour go with it.</summary>
    public static TheoryData<string, string, int> Series => new()
    {
        // A line and its sample in the key.
        { "base", PaperColours.Base, 2 },
        { "middle", PaperColours.Middle, 2 },
        { "top", PaperColours.Top, 2 },
        { "conversion", PaperColours.Middle, 2 },
        // The logger was silent once: two stretches, and the key.
        { "room", PaperColours.Room, 3 },
        // Three were measured; the key.
        { "surfaces", PaperColours.Ink, 4 },
        // Two lines under one label.
        { "pours", PaperColours.Ink, 3 },
        { "steps", PaperColours.Accent, 2 },
        // A line in either chart, one label.
        { "now", PaperColours.Ink, 3 },
        // Line, sample and words of the key.
        { "coldest", PaperColours.Quiet, 3 },
        // Four gates: band, likely, safe, words. The key: band, likely, safe.
        { "gates", PaperColours.Accent, 4 * 4 + 3 },
        // Hatch, frame, best, words. The key: frame and three lines.
        { "next layer", PaperColours.Accent, 4 + 4 },
        { "stalled", PaperColours.Accent, 1 },
        // Tacky, soft and firm: a mark and its sample each.
        { "touches", PaperColours.Ink, 6 },
        // Two strokes and their number; two strokes in the key.
        { "hardness", PaperColours.Ink, 5 },
    };

    [Theory]
    [MemberData(nameof(Series))]
    public void Svg_EachThingShown_IsDrawnAndGoesWithItsFacts(string what, string colour, int elements)
    {
        var picture = Curing();

        Assert.Equal(elements, Coloured(picture, colour) - Coloured(picture with { Course = Without(picture.Course, what) }, colour));
    }

    [Fact]
    public void Svg_OfTheInventedPiece_SaysInTextWhatItShows()
    {
        var texts = Texts(Parse(DrawCure.Decide(InventedPiece.Facts())));

        // Vienna is UTC+1 in winter: 15 h, 47 h, 58 h and 78 h after Saturday 10:00.
        string[] expected =
        [
            "Piece 7 · river-7", "Forecast 4 of 7 Mar 2026 18:00 +01:00, model deep-casting-1. Times in Europe/Vienna.",
            "gel: safe 8 Mar 01:00", "demold: safe 9 Mar 09:00", "handle: safe 9 Mar 20:00", "sand: safe 10 Mar 16:00",
            "pour 1, pour 2", "demolded", "as of 7 Mar 18:00", "74", "Forecast, not proof: test by touch first.",
        ];
        Assert.All(expected, text => Assert.Contains(text, texts));
    }

    [Fact]
    public void Svg_WhileInItsMould_TellsTheNextLayer_AndNoMoreOnceDemolded()
    {
        // Opens 21 h after Saturday 10:00, closes after 28 h, best after 24 h.
        Assert.Contains("next layer: 8 Mar 07:00 to 8 Mar 14:00, best 8 Mar 10:00", Texts(Parse(Curing())));
        Assert.DoesNotContain(Texts(Parse(DrawCure.Decide(InventedPiece.Facts()))), text => text.Contains("next layer", StringComparison.Ordinal));
    }

    [Fact]
    public void Svg_WindowThatIsNeverNearlySure_TellsTheBestTimeAndItsShare()
    {
        var facts = InventedPiece.Facts();
        facts.Piece.State = Piece.Types.State.Curing;
        facts.LastForecast!.NextLayer.OpensSafeTime = facts.LastForecast.NextLayer.ClosesEarliestTime;

        Assert.Contains("next layer: best 8 Mar 10:00, in 93 % of cases", Texts(Parse(DrawCure.Decide(facts))));
    }

    [Fact]
    public void Svg_GateWithoutASafeTime_SaysSo()
    {
        var facts = InventedPiece.Facts();
        facts.LastForecast!.Gates.Single(gate => gate.Gate == Gate.Sand).SafeTime = null;

        var texts = Texts(Parse(DrawCure.Decide(facts)));

        Assert.Contains("sand: no safe time without warmth", texts);
        Assert.DoesNotContain("sand: safe 10 Mar 16:00", texts);
    }

    [Fact]
    public void Svg_WithoutAForecast_DrawsWhatIsRecorded()
    {
        var picture = DrawCure.Decide(InventedPiece.Facts() with { LastForecast = null });

        var texts = Texts(Parse(picture));
        Assert.Contains("No forecast yet: only what is recorded. Times in Europe/Vienna.", texts);
        Assert.DoesNotContain(texts, text => text.Contains("safe", StringComparison.Ordinal));
        Assert.Equal(3, Coloured(picture, PaperColours.Room));
        Assert.Equal(0, Coloured(picture, PaperColours.Middle));
    }

    [Fact]
    public void Svg_InTheInstantOfTheFirstPour_DrawsThePour()
    {
        var facts = InventedPiece.Facts();

        var picture = DrawCure.Decide(facts with { Pours = [facts.Pours[0]], Checks = [], Steps = [], LastForecast = null, Stays = [], CureReadings = new([], 0) });

        // The conversion, which carries the times elsewhere, has nothing to show.
        Assert.Contains("pour 1", Texts(Parse(picture)));
        Assert.Contains("12:00", Texts(Parse(picture)));
        Assert.DoesNotContain("conversion", Texts(Parse(picture)));
    }

    [Fact]
    public void Svg_ForecastOfBeforeTheNewestPour_SaysSo() => Assert.Contains(
        Texts(Parse(DrawCure.Decide(InventedPiece.Facts() with { ForecastStands = false }))),
        text => text.Contains("It does not know the newest pour yet.", StringComparison.Ordinal));

    [Fact]
    public void Svg_LabelOfAnyLetters_IsXmlAllTheSame()
    {
        var facts = InventedPiece.Facts();
        facts.Piece.Label = "<7> & 'ß' 桜 🪵";

        var svg = Parse(DrawCure.Decide(facts));

        Assert.Equal("Piece <7> & 'ß' 桜 🪵 · river-7", svg.Root!.Element(Svg + "title")!.Value);
        Assert.Contains(Texts(svg), text => text == "Piece <7> & 'ß' 桜 🪵 · river-7");
    }

    [Fact]
    public void Svg_ReadingsOfEveryMinuteOfAFortnight_StaysUnder300Kilobytes()
    {
        var facts = InventedPiece.Facts();
        // 14 · 24 · 60 = 20,160 readings of some 20 characters would be 400 kB as they are.
        var readings = Enumerable.Range(0, 20_160).Select(minute => new ReadingRecord
        {
            ReadingMs = InventedPiece.FirstPour.ToUnixMs() + minute * 60_000L, TemperatureCelsius = 18 + minute * 7919 % 31 / 10.0,
        });
        facts.LastForecast!.Gates.Single(gate => gate.Gate == Gate.Sand).SafeTime = Google.Protobuf.WellKnownTypes.Timestamp.FromDateTimeOffset(InventedPiece.TimeAt(330));

        Assert.InRange(DrawCure.Decide(facts with { CureReadings = new([.. readings], 60_000) }).Svg(1000).Length, 50_000, 300_000);
    }

    [Theory]
    [InlineData(400)]
    [InlineData(1000)]
    [InlineData(4000)]
    public void Picture_OfAnyWidth_HasThatWidthAndTheHeightThatFollows(int widthPx)
    {
        var picture = DrawCure.Decide(InventedPiece.Facts());
        var svg = XDocument.Load(new MemoryStream(picture.Svg(widthPx))).Root!;
        using var png = SKBitmap.Decode(picture.Png(widthPx));

        Assert.Equal(widthPx, png.Width);
        Assert.Equal((widthPx, png.Height), ((int)svg.Attribute("width")!, (int)svg.Attribute("height")!));
    }

    [Fact]
    public void Png_ShowsTheThreeForecastLines_WhereTheResinIsHottest()
    {
        var picture = DrawCure.Decide(InventedPiece.Facts());
        using var png = SKBitmap.Decode(picture.Png(2000));

        // 9 h after the pour the middle is at 41 °C, the base at 36 °C, the top at 33 °C: from top to bottom in a column there.
        int[] heights = [.. new[] { PaperColours.Middle, PaperColours.Base, PaperColours.Top }.Select(colour => HighestNear(png, picture.Course, 9, colour))];

        Assert.Equal(heights.Order(), heights);
        Assert.DoesNotContain(-1, heights);
    }

    [Fact]
    public void Picture_OfTheSameFacts_IsTheSameToTheByte()
    {
        Assert.Equal(DrawCure.Decide(InventedPiece.Facts()).Svg(1000), DrawCure.Decide(InventedPiece.Facts()).Svg(1000));
        Assert.Equal(DrawCure.Decide(InventedPiece.Facts()).Png(1000), DrawCure.Decide(InventedPiece.Facts()).Png(1000));
    }

    /// <summary>The invented piece still in its mould, with a gate that it does not reach.</summary>
    private static CurePicture Curing()
    {
        var facts = InventedPiece.Facts();
        facts.Piece.State = Piece.Types.State.Curing;
        var picture = DrawCure.Decide(facts);
        return picture with { Course = picture.Course with { Stalled = [Gate.HandOver] } };
    }

    private static CureCourse Without(CureCourse course, string what) => what switch
    {
        "base" => course with { Base = [] },
        "middle" => course with { Middle = [] },
        "top" => course with { Top = [] },
        "conversion" => course with { Conversion = [] },
        "room" => course with { Room = [] },
        "surfaces" => course with { Surfaces = [] },
        "pours" => course with { Pours = [] },
        "steps" => course with { Steps = [] },
        "now" => course with { ForecastTime = null },
        "coldest" => course with { MinCureTemperatureCelsius = null },
        "gates" => course with { Gates = [] },
        "next layer" => course with { NextLayer = null },
        "stalled" => course with { Stalled = [] },
        "touches" => course with { Touches = [] },
        "hardness" => course with { Hardness = [] },
        _ => throw new ArgumentOutOfRangeException(nameof(what), what, "is nothing that is drawn."),
    };

    private static XDocument Parse(CurePicture picture) => XDocument.Parse(Encoding.UTF8.GetString(picture.Svg(1000)));

    private static List<string> Texts(XDocument svg) => [.. svg.Descendants(Svg + "text").Select(text => text.Value)];

    private static int Coloured(CurePicture picture, string colour) => Parse(picture).Descendants()
        .Count(element => element.Attribute("fill")?.Value == colour || element.Attribute("stroke")?.Value == colour);

    private static int HighestNear(SKBitmap png, CureCourse course, double hours, string colour)
    {
        // The picture is 521 points wide, with 14 of margin; its axis begins 38 points further and ends 6 before the margin.
        var x = (14 + 38 + (493 - 44) * ((InventedPiece.TimeAt(hours) - course.From) / (course.To - course.From))) * png.Width / 521;
        var wanted = SKColor.Parse(colour);
        // Below the keys, which are in the first eighth, and within a dash and its gap.
        return Enumerable.Range(png.Height / 8, png.Height / 3).FirstOrDefault(y => Enumerable.Range((int)x - 15, 30).Any(near => IsLike(png.GetPixel(near, y))), -1);

        bool IsLike(SKColor seen) => Math.Abs(seen.Red - wanted.Red) + Math.Abs(seen.Green - wanted.Green) + Math.Abs(seen.Blue - wanted.Blue) < 30;
    }
}
