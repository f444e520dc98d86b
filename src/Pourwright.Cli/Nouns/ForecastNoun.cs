using System.ComponentModel;
using Google.Protobuf.Collections;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using static Pourwright.V1.PredictCureRequest.Types;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright forecast ...</c></summary>
public static class ForecastNoun
{
    /// <summary>Instants of the middle case that fit a screen.</summary>
    private const int CourseRows = 16;

    public static void Register(Noun noun)
    {
        noun.Describe("When each piece reaches each gate, as computed");
        noun.Verb<One>("show", "Shows the newest forecast of a piece, or one revision", ShowAsync, "forecast", "show", "piece-7");
        noun.Verb<Piece>("list", "Lists the revisions of a piece's forecast", ListAsync);
        noun.Verb<Predict>("predict", "What would happen: nothing is kept", PredictAsync,
            "forecast", "predict", "--resin", "deep", "--layer", "40mm@23C", "--layer", "20mm@23C+12h", "--room", "21C", "--room", "16C+20h");
    }

    public static IRenderable Card(Forecast forecast, SiteClock clock, string site, bool withCourse) => Sheets.Stack(
    [
        Sheets.Card($"Forecast {ResourceNames.Brief(forecast.Name)} of piece {forecast.Name.Split('/')[3]}",
            ("Computed", $"{clock.At(forecast.ForecastTime, site)} because of {Words.Of(forecast.Cause)}"),
            ("First pour", clock.AtAndIn(forecast.PourTime, site)),
            ("Last reading used", forecast.LastReadingTime is { } last ? clock.AtAndIn(last, site) : "none: the bench's planned temperature"),
            ("Time without readings", forecast.GapDuration?.ToTimeSpan() is { Ticks: > 0 } gap ? new Span(gap).ToString() : null),
            ("Room from then on", forecast.RoomAssumption),
            ("Model", Learned(forecast))),
        Sheets.Rows("No forecast: go by data sheet and touch test.", ["Gate", "Safe", "Likely", "Earliest"], forecast.Gates.Select(gate => new Cell[]
        {
            Words.Of(gate.Gate).ToUpperInvariant(),
            gate.SafeTime is null ? "not without warmth" : new Cell(clock.AtAndIn(gate.SafeTime, site), Tone.Strong),
            clock.At(gate.LikelyTime, site), clock.At(gate.EarliestTime, site),
        })),
        Peak(forecast.Peak),
        Why(forecast.Reason, forecast.NextLayer, forecast.Advice, clock, site),
        .. Cautions.Show(forecast.Cautions),
        withCourse ? Course(forecast.Course) : null,
    ]);

    public static IRenderable Card(CurePrediction prediction, bool withCourse) => Sheets.Stack(
    [
        Sheets.Rows("No gates.", ["Gate", "Safe", "Likely", "Earliest"], prediction.Gates.Select(gate => new Cell[]
        {
            Words.Of(gate.Gate).ToUpperInvariant(),
            gate.Safe is null ? "not without warmth" : new Cell($"after {After(gate.Safe)}", Tone.Strong),
            After(gate.Likely), After(gate.Earliest),
        })),
        Peak(prediction.Peak),
        Window(prediction.NextLayer),
        .. Advised(prediction.Advice),
        .. Cautions.Show(prediction.Cautions),
        withCourse ? Course(prediction.Course) : null,
        new Cell($"Counted from the first layer. Model {prediction.ModelRevision}. Test by touch first, whatever is predicted.", Tone.Faint).Render(),
    ]);

    /// <summary>The reason, the window for a further layer and the advice.</summary>
    public static IRenderable Why(string reason, LayerWindow? window, IEnumerable<Advice> advice, SiteClock clock, string site) => Sheets.Stack(
    [
        reason.Length > 0 ? new Cell(reason).Render() : null,
        window is null ? null : new Cell(window.BestTime is null || window.BestShareRatio < 0.5
            ? NoWindow
            : $"Next layer without sanding: best {clock.At(window.BestTime, site)} ({100 * window.BestShareRatio:0} of 100 cases), usually from "
                + $"{clock.At(window.OpensLikelyTime, site)} to {clock.At(window.ClosesLikelyTime, site)}; gelled and still tacky by touch decides.").Render(),
        .. Advised(advice),
    ]);

    public static IRenderable Rows(ListForecastsResponse all, SiteClock clock, string site) => Sheets.Rows("No forecast yet.",
        ["Revision", "Computed", "Because of", "Demold safe", "Handle safe", "Peak"],
        all.Forecasts.Select(f => new Cell[]
        {
            ResourceNames.Brief(f.Name), clock.At(f.ForecastTime, site), Words.Of(f.Cause),
            SafeTime(f, Gate.Demold, clock, site), SafeTime(f, Gate.Handle, clock, site),
            f.Peak is null ? "" : $"{f.Peak.LowCelsius:0} to {f.Peak.HighCelsius:0} °C",
        }));

    /// <summary>Reads <c>40mm@23C</c> or <c>20mm@23C+6h</c>.</summary>
    /// <exception cref="FormatException">Not a depth at a temperature.</exception>
    public static Layer ReadLayer(string text)
    {
        var (value, offset) = Pairs.ValueAndOffset(text);
        return value.Split('@') is [var depth, var temperature]
            ? new()
            {
                DepthMm = Depth.Parse(depth).Mm,
                TemperatureCelsius = Temperature.Parse(temperature).Celsius,
                PourOffset = Duration.FromTimeSpan(offset),
            }
            : throw new FormatException($"'{text}' is not a layer: write 40mm@23C, or 20mm@23C+6h for one six hours later.");
    }

    /// <summary>Reads <c>21C</c> or <c>16C+20h</c>.</summary>
    /// <exception cref="FormatException">No temperature.</exception>
    public static RoomPoint ReadRoom(string text)
    {
        var (value, offset) = Pairs.ValueAndOffset(text);
        return new() { TemperatureCelsius = Temperature.Parse(value).Celsius, Offset = Duration.FromTimeSpan(offset) };
    }

    private static string SafeTime(Forecast forecast, Gate gate, SiteClock clock, string site) =>
        forecast.Gates.FirstOrDefault(g => g.Gate == gate) switch
        {
            null => "no forecast",
            { SafeTime: { } safe } => clock.At(safe, site),
            _ => "not without warmth",
        };

    private static string After(Duration? time) => time is null ? "not without warmth" : new Span(time.ToTimeSpan()).ToString();

    private static Spectre.Console.Text? Peak(PeakPrediction? peak) => peak is null ? null : new Cell(
        $"Peak {peak.LowCelsius:0} to {peak.HighCelsius:0} °C, likely {After(peak.LikelyOffset)} after the first pour: "
        + peak.Risk switch
        {
            PeakPrediction.Types.Risk.Runaway => "RUNAWAY, expect smoke, cracks and burns",
            PeakPrediction.Types.Risk.Caution => "WATCH IT",
            PeakPrediction.Types.Risk.Mild => "MILD",
            _ => "risk unknown",
        },
        peak.Risk switch { PeakPrediction.Types.Risk.Runaway => Tone.Bad, PeakPrediction.Types.Risk.Caution => Tone.Wait, _ => Tone.Plain }).Render();

    private static IRenderable? Course(RepeatedField<CureSample> course) => course.Count == 0 ? null : Sheets.Rows("",
        ["After", "Base", "Middle", "Top", "Slowest point cured"],
        Thinned(course).Select(at => new Cell[]
        {
            After(at.Offset), new Temperature(at.BaseTemperatureCelsius).ToString(), new Temperature(at.MiddleTemperatureCelsius).ToString(),
            new Temperature(at.TopTemperatureCelsius).ToString(), $"{100 * at.LeastConversionRatio:0} %",
        }));

    private static IEnumerable<CureSample> Thinned(RepeatedField<CureSample> course)
    {
        var step = (course.Count + CourseRows - 1) / CourseRows;
        return course.Where((_, index) => index % step == 0);
    }

    private const string NoWindow =
        "Next layer: no time suits half of the cases. Go by touch, gelled and still tacky, or let it harden, sand, pour on the key.";

    private static IEnumerable<IRenderable> Advised(IEnumerable<Advice> advice) =>
        advice.Select(one => new Cell($"ADVICE: {one.Text}", Tone.Strong).Render());

    private static Spectre.Console.Text? Window(LayerWindowPrediction? window) => window is null ? null : new Cell(window.Best is null || window.BestShareRatio < 0.5
        ? NoWindow
        : $"Next layer without sanding: best after {After(window.Best)} ({100 * window.BestShareRatio:0} of 100 cases); gelled and still tacky by "
            + "touch decides.").Render();

    private static string Learned(Forecast forecast) => forecast.ObservationCount == 0
        ? forecast.ModelRevision
        : $"{forecast.ModelRevision}, learned from {forecast.ObservationCount} observations of this resin";

    private static async Task ShowAsync(Desk desk, One s)
    {
        var piece = desk.Names.Piece(s.Id);
        var forecast = await desk.Server.Forecasts.GetForecastAsync(new() { Name = $"{piece}/forecasts/{s.Revision ?? "latest"}" }, desk.Call);
        var site = desk.Output.Json ? "" : await desk.SiteOfPieceAsync(piece);
        await desk.PrintAsync(forecast, (answer, clock) => Card(answer, clock, site, s.Course));
    }

    private static async Task ListAsync(Desk desk, Piece s)
    {
        var piece = desk.Names.Piece(s.Id);
        var all = await Server.ListAsync(new ListForecastsRequest { Parent = piece }, desk.Server.Forecasts.ListForecastsAsync, desk.Stop);
        var site = desk.Output.Json ? "" : await desk.SiteOfPieceAsync(piece);
        await desk.PrintAsync(all, (answer, clock) => Rows(answer, clock, site));
    }

    private static async Task PredictAsync(Desk desk, Predict s)
    {
        var request = new PredictCureRequest
        {
            CureClass = s.CureClass,
            ResinSystem = s.Resin is null ? "" : desk.Names.ResinSystem(s.Resin),
            Layers = { s.Layers.Select(ReadLayer) },
            Room = { s.Room.Select(ReadRoom) },
        };
        if (s.Board is { } board)
            request.BoardThicknessMm = board.Mm;
        await desk.PrintAsync(await desk.Server.Cure.PredictCureAsync(request, desk.Call), (answer, _) => Card(answer, s.Course));
    }

    private class Piece : StudioSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }
    }

    private sealed class One : Piece
    {
        [CommandOption("--revision <NUMBER>")]
        [Description("Which one; the newest unless told")]
        public string? Revision { get; init; }

        [CommandOption("--course")]
        [Description("Show the temperatures of the middle case too")]
        public bool Course { get; init; }
    }

    private sealed class Predict : StudioSettings
    {
        [CommandOption("-r|--resin <RESIN>")]
        [Description("A resin system; or say --class")]
        public string? Resin { get; init; }

        [CommandOption("--class <CLASS>")]
        [Description("deep-casting or fast-coating, where there is no resin system yet")]
        [TypeConverter(typeof(WordConverter<ResinSystem.Types.CureClass>))]
        public ResinSystem.Types.CureClass CureClass { get; init; }

        [CommandOption("-l|--layer <DEPTH@DEGREES+LATER>", true)]
        [Description("A layer, for example 40mm@23C; a later one 20mm@23C+6h; repeat for more")]
        public required string[] Layers { get; init; }

        [CommandOption("--room <DEGREES+LATER>", true)]
        [Description("The room, for example 21C; from 20 hours on colder: 16C+20h; straight lines between")]
        public required string[] Room { get; init; }

        [CommandOption("--board <THICKNESS>")]
        [Description("Wood-based panel under the mould; 18mm unless told, 0mm for none")]
        public Depth? Board { get; init; }

        [CommandOption("--course")]
        [Description("Show the temperatures of the middle case too")]
        public bool Course { get; init; }
    }
}
