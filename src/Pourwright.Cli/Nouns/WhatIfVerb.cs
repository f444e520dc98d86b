using System.ComponentModel;
using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using static Pourwright.V1.AskWhatIfRequest.Types;
using static Pourwright.V1.WhatIfAnswer.Types;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright piece what-if</c> and <c>pourwright pour what-if</c>: before and after of one change.</summary>
public static class WhatIfVerb
{
    public static async Task AskOfPieceAsync(Desk desk, OfPiece s)
    {
        var piece = desk.Names.Piece(s.Id);
        var site = await desk.SiteOfPieceAsync(piece);
        await AskAsync(desk, s, new() { Piece = piece }, site);
    }

    public static async Task AskOfPourAsync(Desk desk, OfPour s)
    {
        var site = await desk.SiteAsync();
        var pour = new PredictCureRequest
        {
            CureClass = s.CureClass,
            ResinSystem = s.Resin is null ? "" : desk.Names.ResinSystem(s.Resin),
            Layers = { s.Layers.Select(ForecastNoun.ReadLayer) },
            Room = { s.Room.Select(ForecastNoun.ReadRoom) },
        };
        if (s.Board is { } board)
            pour.BoardThicknessMm = board.Mm;
        await AskAsync(desk, s, new() { Pour = pour, Site = site, FirstPourTime = await At(desk, s.At, site) }, site);
    }

    public static IRenderable Card(WhatIfAnswer answer, SiteClock clock, string site)
    {
        Cell[] Row(string what, Func<Outlook, string> words) => [what, words(answer.Before), words(answer.After)];
        return Sheets.Stack(
        [
            new Cell(answer.Sentence, Tone.Strong).Render(),
            answer.Verdict == Verdict.Refused
                ? new Cell($"REFUSED. {answer.ObjectionText}", Tone.Bad).Render()
                : new Cell("POSSIBLE", Tone.Good).Render(),
            Sheets.Rows("", ["", "As it is", "With the change"],
            [
                Row("Session", outlook => clock.At(outlook.SessionTime, site)),
                Row($"{Words.Of(answer.Before.Gate.Gate).ToUpperInvariant()} safe", outlook => clock.At(outlook.Gate.SafeTime, site) is { Length: > 0 } safe ? safe : "not without warmth"),
                Row("likely", outlook => clock.At(outlook.Gate.LikelyTime, site)),
                Row("earliest", outlook => clock.At(outlook.Gate.EarliestTime, site)),
                Row("Ready by the session", outlook => string.Create(CultureInfo.InvariantCulture, $"{100 * outlook.ReadyShareRatio:0} of 100{(outlook.Safe ? ", SAFE" : "")}")),
                Row("Peak", outlook => string.Create(CultureInfo.InvariantCulture, $"{outlook.Peak.LowCelsius:0} to {outlook.Peak.HighCelsius:0} °C")),
                Row("Margin psi", outlook => outlook.Peak.RunawayMarginRatio.ToString("0.00", CultureInfo.InvariantCulture)),
            ]),
            Sheets.Card("",
                ("Hold", answer.HasHoldTemperatureCelsius ? Held(answer, clock, site) : null),
                ("Warm not before", clock.AtAndIn(answer.WarmFromTime, site))),
            answer.RoomAssumption == "" ? null : new Cell($"Room as it is: {answer.RoomAssumption}", Tone.Faint).Render(),
            new Cell(PourNoun.Zone(clock, site), Tone.Faint).Render(),
            .. Cautions.Show(answer.Cautions),
        ]);
    }

    private static string Held(WhatIfAnswer answer, SiteClock clock, string site) =>
        $"{new Temperature(answer.HoldTemperatureCelsius)} from {clock.At(answer.HoldFromTime, site)}"
        + (answer.HoldUntilTime is { } until ? $" until {clock.At(until, site)}" : " on");

    private static async Task AskAsync(Desk desk, Change s, AskWhatIfRequest request, string site)
    {
        (request.Gate, request.SessionTime) = (s.Gate, await At(desk, s.Session, site));
        await SetChangeAsync(desk, s, request, site);
        await desk.PrintAsync(await desk.Server.Advice.AskWhatIfAsync(request, desk.Call), (answer, clock) => Card(answer, clock, site));
    }

    private static async Task SetChangeAsync(Desk desk, Change s, AskWhatIfRequest request, string site)
    {
        if (new[] { s.Hold is not null, s.Move is not null, s.Split is not null, s.OtherResin is not null, s.Warm }.Count(asked => asked) != 1)
            throw new UsageException("Ask one change: --hold 24C, --move 2d, --layers 2, --other-resin RESIN or --warm.");
        var from = await At(desk, s.From, site);
        if (s.Hold is { } hold)
            request.HoldRoom = new() { TemperatureCelsius = hold.Celsius, FromTime = from, UntilTime = await At(desk, s.Until, site) };
        else if (s.Move is { } move)
            request.MoveSession = new() { By = Duration.FromTimeSpan(move.Length) };
        else if (s.Split is { } layers)
            request.SplitPour = new() { LayerCount = layers };
        else if (s.OtherResin is { } other)
            request.OtherResin = new() { ResinSystem = desk.Names.ResinSystem(other) };
        else
            request.SmallestWarming = new() { FromTime = from };
    }

    private static Task<Timestamp?> At(Desk desk, string? text, string site) => desk.BoundAsync(text, WhenSense.Planned, () => Task.FromResult(site));

    /// <summary>What may be changed.</summary>
    public class Change : StudioSettings
    {
        [CommandOption("--hold <DEGREES>")]
        [Description("Hold the room at this, for example 24C")]
        public Temperature? Hold { get; init; }

        [CommandOption("--warm")]
        [Description("Find the smallest warming that makes the session safe")]
        public bool Warm { get; init; }

        [CommandOption("--from <TIME>")]
        [Description("From when to hold or warm it; now, or once the peak is past, unless told")]
        public string? From { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("Until when to hold it; for good unless told")]
        public string? Until { get; init; }

        [CommandOption("--move <DURATION>")]
        [Description("Move the session, for example 2d")]
        public Span? Move { get; init; }

        [CommandOption("--layers <NUMBER>")]
        [Description("Pour the same depth in so many layers; only of a pour that is thought of")]
        public int? Split { get; init; }

        [CommandOption("--other-resin <RESIN>")]
        [Description("Pour another resin system; only of a pour that is thought of")]
        public string? OtherResin { get; init; }

        [CommandOption("--session <TIME>")]
        [Description("When people come to work on it; the piece's planned session unless told")]
        public string? Session { get; init; }

        [CommandOption("--gate <GATE>")]
        [Description("What they want to do: gel, demold, handle (saw and plane), sand or full-cure; handle unless told")]
        [TypeConverter(typeof(WordConverter<Gate>))]
        public Gate Gate { get; init; }
    }

    public sealed class OfPiece : Change
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }
    }

    public sealed class OfPour : Change
    {
        [CommandOption("-r|--resin <RESIN>")]
        [Description("A resin system; or say --class")]
        public string? Resin { get; init; }

        [CommandOption("--class <CLASS>")]
        [Description("deep-casting or fast-coating, where there is no resin system yet")]
        [TypeConverter(typeof(WordConverter<ResinSystem.Types.CureClass>))]
        public ResinSystem.Types.CureClass CureClass { get; init; }

        [CommandOption("-l|--layer <DEPTH@DEGREES+LATER>", true)]
        [Description("A layer, for example 50mm@22C; repeat for more")]
        public required string[] Layers { get; init; }

        [CommandOption("--room <DEGREES+LATER>", true)]
        [Description("The room, for example 20C; from 20 hours on colder: 16C+20h; straight lines between")]
        public required string[] Room { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When the first layer is poured; now unless told")]
        public string? At { get; init; }

        [CommandOption("--board <THICKNESS>")]
        [Description("Wood-based panel under the mould; 18mm unless told, 0mm for none")]
        public Depth? Board { get; init; }
    }
}
