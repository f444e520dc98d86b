using System.ComponentModel;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
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
        "READY means that forecast and touch test agree. Dust of part-cured resin irritates and sensitises; "
        + "the safety data sheet, local code and licensed practice decide.";

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
        piece.Held ? new Cell($"HELD: {piece.HoldReason}. Not worked on, not handed over.", Tone.Bad).Render() : null,
        Sheets.Rows(Pending(piece), ["Gate", "State", "Safe", "Likely", "Earliest"], piece.Forecast == "" ? [] : piece.Rungs.Select(rung => new Cell[]
        {
            Words.Of(rung.Gate).ToUpperInvariant(), State(rung),
            rung.Forecast is null ? "no forecast: go by data sheet and touch test"
                : rung.Forecast.SafeTime is { } safe ? clock.AtAndIn(safe, piece.Bench) : "not without warmth",
            clock.At(rung.Forecast?.LikelyTime, piece.Bench), clock.At(rung.Forecast?.EarliestTime, piece.Bench),
        })),
        ForecastNoun.Why(piece.Reason, piece.NextLayer, piece.Advice, clock, piece.Bench),
        new Cell(Reminder, Tone.Faint).Render());

    /// <summary>Many pieces: a piece a row, those that wait for somebody first.</summary>
    /// <param name="pieces">What is known of each.</param>
    /// <param name="demolded">Names of those that have left their moulds.</param>
    /// <param name="clock">The sites' clocks.</param>
    public static IRenderable Rows(IEnumerable<PieceReadiness> pieces, IReadOnlySet<string> demolded, SiteClock clock) => Sheets.Stack(
        Sheets.Rows("Nothing poured is in the house.", ["Label", "Piece", "Stands at", "Demold", "Handle (saw, plane)"],
            pieces.OrderBy(Urgency)
                .ThenBy(piece => RungOf(piece, Gate.Demold)?.Forecast?.SafeTime ?? Never)
                .ThenBy(piece => piece.Piece, StringComparer.Ordinal)
                .Select(piece => new Cell[]
                {
                    new(piece.Label, Tone.Strong), ResourceNames.Brief(piece.Piece), ResourceNames.Brief(piece.Bench),
                    piece.Held ? new Cell($"HELD: {piece.HoldReason}", Tone.Bad) : demolded.Contains(piece.Piece) ? "DEMOLDED" : StateUntil(piece, Gate.Demold, clock),
                    piece.Held ? new Cell("HELD", Tone.Bad) : StateUntil(piece, Gate.Handle, clock),
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
        { State: Rung.Types.State.Curing, Forecast: null } => new("CURING: no forecast, go by data sheet and touch test", Tone.Wait),
        { State: Rung.Types.State.Curing } => new("CURING: will not get there without warmth", Tone.Wait),
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
        var (curing, demolded) = (await NamesAsync(desk, Piece.Types.State.Curing), await NamesAsync(desk, Piece.Types.State.Demolded));
        var ready = new List<PieceReadiness>();
        foreach (var piece in curing.Concat(demolded))
            ready.Add(await desk.Server.Forecasts.GetReadinessAsync(new() { Name = piece }, desk.Call));
        if (desk.Output.Json)
            ready.ForEach(desk.Output.MessageLine);
        else
            desk.Output.Show(Rows(ready, demolded, await desk.ClockAsync()));
    }

    private static async Task<HashSet<string>> NamesAsync(Desk desk, Piece.Types.State state)
    {
        var request = new ListPiecesRequest { Parent = desk.Names.Studio, Site = desk.SiteFilter, State = state };
        var found = await Server.ListAsync(request, desk.Server.Pieces.ListPiecesAsync, desk.Stop);
        return [.. found.Pieces.Select(piece => piece.Name)];
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
            var (demold, handle) = (StateUntil(piece, Gate.Demold, clock).Text, StateUntil(piece, Gate.Handle, clock).Text);
            desk.Output.Say($"{piece.Label}  {ResourceNames.Brief(piece.Piece)}{(piece.Held ? $"  HELD: {piece.HoldReason}" : "")}  demold {demold}  handle {handle}");
        };
    }

    private static async Task WatchTableAsync(Desk desk)
    {
        var clock = await desk.ClockAsync();
        await desk.Output.Console.Live(Rows([], new HashSet<string>(), clock)).StartAsync(async live =>
        {
            var table = new LiveRows(desk, clock, live);
            await Task.WhenAny(FollowAsync(desk, table.Take, table.Lose), table.KeepFreshAsync()).Unwrap();
        });
    }

    private static Task FollowAsync(Desk desk, Action<PieceReadiness> each, Action<string> away) => Server.WatchAsync(
        stop => desk.Server.Forecasts.WatchReadiness(new() { Parent = desk.Names.Studio, Site = desk.SiteFilter }, cancellationToken: stop),
        each, away, desk.Stop);

    /// <summary>A table that stands still and changes. The stream tells what changes; it does not tell of pieces that have left the house.</summary>
    private sealed class LiveRows(Desk desk, SiteClock clock, LiveDisplayContext live)
    {
        private readonly Lock _turn = new();
        private readonly Dictionary<string, PieceReadiness> _pieces = [];
        private HashSet<string> _demolded = [];
        private string _lost = "";

        public void Take(PieceReadiness piece)
        {
            lock (_turn)
                (_pieces[piece.Piece], _lost) = (piece, "");
            Draw();
        }

        public void Lose(string detail)
        {
            lock (_turn)
                _lost = _lost != "" ? _lost : $"No answer from the server since {clock.At(desk.Now.ToTimestamp(), null)}: {detail} Trying again.";
            Draw();
        }

        /// <summary>Counts distances again and drops what was handed over or given up.</summary>
        public async Task KeepFreshAsync()
        {
            while (!desk.Stop.IsCancellationRequested)
            {
                await LookAroundAsync();
                Draw();
                await Task.Delay(Redraw, desk.Stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }

        private async Task LookAroundAsync()
        {
            try
            {
                var (curing, demolded) = (await NamesAsync(desk, Piece.Types.State.Curing), await NamesAsync(desk, Piece.Types.State.Demolded));
                lock (_turn)
                {
                    _demolded = demolded;
                    foreach (var gone in _pieces.Keys.Where(piece => !curing.Contains(piece) && !demolded.Contains(piece)).ToList())
                        _pieces.Remove(gone);
                }
            }
            catch (RpcException)
            {
                // The stream says that the server is away.
            }
        }

        private void Draw()
        {
            lock (_turn)
                live.UpdateTarget(Sheets.Stack(Rows(_pieces.Values, _demolded, clock.AsOf(desk.Now)), new Cell(_lost, Tone.Bad).Render()));
        }
    }

    public sealed class Settings : StudioSettings
    {
        [CommandArgument(0, "[piece]")]
        [Description("One piece; else every poured piece in the house")]
        public string? Id { get; init; }

        [CommandOption("-w|--watch")]
        [Description("Stay and show every change; Ctrl+C ends it")]
        public bool Watch { get; init; }
    }
}
