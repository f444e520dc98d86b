using System.ComponentModel;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using static Pourwright.V1.PieceReadiness.Types;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright piece ready</c>: forecast and touch test together.</summary>
public static class ReadyVerb
{
    private const string Reminder =
        "READY means that forecast and touch test agree. Dust of part-cured resin irritates and sensitises; the safety data sheet, local code and licensed practice decide.";

    /// <summary>How often the distances in a live table are counted again.</summary>
    private static readonly TimeSpan Redraw = TimeSpan.FromSeconds(20);

    public static async Task RunAsync(Desk desk, Settings s)
    {
        if (s.Watch)
            await WatchAsync(desk);
        else if (s.Id is { Length: > 0 } id)
            await desk.PrintAsync(await desk.Server.Forecasts.GetReadinessAsync(new() { Name = desk.Names.Piece(id) }, desk.Call), Card);
        else
            await ShowAllAsync(desk);
    }

    /// <summary>One piece: a gate a row.</summary>
    public static IRenderable Card(PieceReadiness piece, SiteClock clock) => Sheets.Stack(
        new Cell($"Piece {ResourceNames.Brief(piece.Piece)}, label {piece.Label}, {ResourceNames.Brief(piece.Bench)}", Tone.Strong).Render(),
        Sheets.Rows(Pending(piece), ["Gate", "State", "Safe", "Likely", "Earliest"], piece.Forecast == "" ? [] : piece.Rungs.Select(rung => new Cell[]
        {
            Words.Of(rung.Gate).ToUpperInvariant(), State(rung),
            rung.Forecast?.SafeTime is { } safe ? clock.AtAndIn(safe, piece.Bench) : "not within 14 days: the room is too cold",
            clock.At(rung.Forecast?.LikelyTime, piece.Bench), clock.At(rung.Forecast?.EarliestTime, piece.Bench),
        })),
        new Cell(Reminder, Tone.Faint).Render());

    /// <summary>Many pieces: a piece a row, those that wait for somebody first.</summary>
    public static IRenderable Rows(IEnumerable<PieceReadiness> pieces, SiteClock clock) => Sheets.Stack(
        Sheets.Rows("Nothing is curing.", ["Label", "Piece", "Stands at", "Demold", "Handle (saw, plane)"],
            pieces.OrderBy(Urgency).ThenBy(piece => RungOf(piece, Gate.Demold)?.Forecast?.SafeTime ?? Never).ThenBy(piece => piece.Piece, StringComparer.Ordinal)
                .Select(piece => new Cell[]
                {
                    new(piece.Label, Tone.Strong), ResourceNames.Brief(piece.Piece), ResourceNames.Brief(piece.Bench),
                    StateUntil(piece, Gate.Demold, clock), StateUntil(piece, Gate.Handle, clock),
                })),
        new Cell(Reminder, Tone.Faint).Render());

    /// <summary>The state in words; its colour says nothing more.</summary>
    public static Cell State(Rung rung) => rung.State switch
    {
        Rung.Types.State.Ready => new("READY", Tone.Good),
        Rung.Types.State.CheckDue => new("CHECK DUE: test by touch first", Tone.Wait),
        Rung.Types.State.Contradicted => new("CONTRADICTED: felt not firm, wait and test again", Tone.Bad),
        Rung.Types.State.Curing => new("CURING"),
        _ => new("unknown", Tone.Faint),
    };

    private static Timestamp Never { get; } = DateTimeOffset.MaxValue.ToTimestamp();

    private static Cell StateUntil(PieceReadiness piece, Gate gate, SiteClock clock) => RungOf(piece, gate) switch
    {
        _ when piece.Forecast == "" => new(Pending(piece), Tone.Faint),
        null => new("unknown", Tone.Faint),
        { State: Rung.Types.State.Curing, Forecast.SafeTime: { } safe } => new($"CURING until {clock.AtAndIn(safe, piece.Bench)}"),
        { State: Rung.Types.State.Curing } => new("CURING: not within 14 days, the room is too cold", Tone.Wait),
        var rung => State(rung),
    };

    private static string Pending(PieceReadiness piece) => piece.Forecast == "" ? "forecast under way" : "no gates";

    private static Rung? RungOf(PieceReadiness piece, Gate gate) => piece.Rungs.FirstOrDefault(rung => rung.Gate == gate);

    private static int Urgency(PieceReadiness piece) => piece.Rungs.Select(rung => rung.State switch
    {
        Rung.Types.State.Contradicted => 0,
        Rung.Types.State.CheckDue => 1,
        _ => 2,
    }).DefaultIfEmpty(2).Min();

    private static async Task ShowAllAsync(Desk desk)
    {
        var request = new ListPiecesRequest { Parent = desk.Names.Studio, Site = desk.SiteFilter, State = Piece.Types.State.Curing };
        var curing = await Server.ListAsync(request, desk.Server.Pieces.ListPiecesAsync, desk.Stop);
        var ready = new List<PieceReadiness>();
        foreach (var piece in curing.Pieces)
            ready.Add(await desk.Server.Forecasts.GetReadinessAsync(new() { Name = piece.Name }, desk.Call));
        if (desk.Output.Json)
            ready.ForEach(desk.Output.MessageLine);
        else
            desk.Output.Show(Rows(ready, await desk.ClockAsync()));
    }

    private static Task WatchAsync(Desk desk) =>
        desk.Output is { IsTerminal: true, Json: false } ? WatchTableAsync(desk) : FollowAsync(desk, LinePrinter(desk), _ => { });

    /// <summary>Where no table can stand still: a line a change.</summary>
    private static Action<PieceReadiness> LinePrinter(Desk desk)
    {
        if (desk.Output.Json)
            return desk.Output.MessageLine;
        SiteClock? clock = null;
        return piece =>
        {
            clock = clock?.AsOf(desk.Now) ?? desk.ClockAsync().GetAwaiter().GetResult();
            desk.Output.Say($"{piece.Label}  {ResourceNames.Brief(piece.Piece)}  demold {StateUntil(piece, Gate.Demold, clock).Text}  handle {StateUntil(piece, Gate.Handle, clock).Text}");
        };
    }

    private static async Task WatchTableAsync(Desk desk)
    {
        var seen = new Dictionary<string, PieceReadiness>();
        var clock = await desk.ClockAsync();
        var lost = "";
        await desk.Output.Console.Live(Rows([], clock)).StartAsync(async live =>
        {
            void Draw()
            {
                lock (seen)
                    live.UpdateTarget(Sheets.Stack(Rows(seen.Values, clock.AsOf(desk.Now)), new Cell(lost, Tone.Bad).Render()));
            }

            void Take(PieceReadiness piece)
            {
                lock (seen)
                    seen[piece.Piece] = piece;
                lost = "";
                Draw();
            }

            void Lose(string detail)
            {
                lost = $"No answer from the server since {clock.At(desk.Now.ToTimestamp(), null)}: {detail}. Trying again.";
                Draw();
            }

            using var redraw = new Timer(_ => Draw(), null, Redraw, Redraw);
            await FollowAsync(desk, Take, Lose);
        });
    }

    private static Task FollowAsync(Desk desk, Action<PieceReadiness> each, Action<string> away) => Server.WatchAsync(
        stop => desk.Server.Forecasts.WatchReadiness(new() { Parent = desk.Names.Studio, Site = desk.SiteFilter }, cancellationToken: stop),
        each, away, desk.Stop);

    public sealed class Settings : StudioSettings
    {
        [CommandArgument(0, "[piece]")]
        [Description("One piece; else every curing piece")]
        public string? Id { get; init; }

        [CommandOption("-w|--watch")]
        [Description("Stay and show every change; Ctrl+C ends it")]
        public bool Watch { get; init; }
    }
}
