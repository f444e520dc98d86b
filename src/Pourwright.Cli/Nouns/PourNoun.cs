using System.ComponentModel;
using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Bound = Pourwright.V1.PourPlan.Types.DepthBound;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright pour ...</c>: before anybody mixes, and what was recorded wrongly. What was poured is recorded with <c>piece pour</c>.</summary>
public static class PourNoun
{
    private static readonly Gate[] PlannedGates = [Gate.Demold, Gate.Handle, Gate.Sand];

    public static void Register(Noun noun)
    {
        noun.Describe("A pour to come, which is planned and not kept; and one that was recorded wrongly");
        noun.Verb<Plan>("plan", "How deep, how much and when: layers with their times", PlanAsync,
            "pour", "plan", "60mm", "--resin", "deep", "--bench", "north/bench-1", "--temp", "22C", "--at", "tomorrow 10:00");
        noun.Verb<WhatIfVerb.OfPour>("what-if", "What a change would do to a pour that is only thought of", WhatIfVerb.AskOfPourAsync,
            "pour", "what-if", "--resin", "deep", "--layer", "50mm@22C", "--room", "20C", "--session", "2026-05-10 09:00", "--layers", "2");
        noun.Verb<Correct>("correct", "Says what a pour really was; its record stays as evidence", CorrectAsync,
            "pour", "correct", "piece-7/pour-1", "--piece", "piece-8", "--depth", "25mm", "--by", "Ana", "--why", "the mould beside it");
        noun.Verb<Undo>("undo", "Says that a pour never happened, or was recorded twice", UndoAsync,
            "pour", "undo", "piece-7/pour-1", "--by", "Ana", "--why", "recorded twice");
    }

    public static IRenderable Card(PourPlan plan, SiteClock clock, string? site, string heading) => Sheets.Stack(
    [
        Sheets.Card(heading,
            ("In one pour", plan.OnePourPeak is { } peak ? Peak(peak) : "deeper than the model goes"),
            ("Deepest layer", $"{new Depth(plan.DeepestLayerMm)}; {Words(plan.DepthBound)}"),
            ("Data sheet", plan.HasMaxDepthMm ? $"at most {new Depth(plan.MaxDepthMm)} in one pour" : null),
            ("Batch as planned", Batch(plan.PlannedBatch)),
            ("Largest batch in time", plan.LargestBatch is { MassMg: 0 } ? "none: not even a gram lasts that long" : Batch(plan.LargestBatch))),
        plan.Layers.Count == 0
            ? new Cell($"NO PLAN. {plan.ObstacleText}", Tone.Bad).Render()
            : Layers(plan, clock, site),
        plan.Layers.Count == 0 ? null : Gates(plan, clock, site),
        new Cell($"Room: {plan.RoomAssumption}", Tone.Faint).Render(),
        new Cell(Zone(clock, site), Tone.Faint).Render(),
        .. Cautions.Show(plan.Cautions),
    ]);

    /// <summary>For example <c>31 to 80 °C, margin 0.38: WATCH IT</c>.</summary>
    public static string Peak(PeakPrediction peak) => string.Create(CultureInfo.InvariantCulture,
        $"peak {peak.LowCelsius:0} to {peak.HighCelsius:0} °C, margin {peak.RunawayMarginRatio:0.00}: ") + peak.Risk switch
        {
            PeakPrediction.Types.Risk.Runaway => "RUNAWAY",
            PeakPrediction.Types.Risk.Caution => "WATCH IT",
            PeakPrediction.Types.Risk.Mild => "MILD",
            _ => "risk unknown",
        };

    /// <summary>Whose clock the times are on.</summary>
    public static string Zone(SiteClock clock, string? site) => $"Times: {(clock.ZoneOf(site) ?? TimeZoneInfo.Utc).Id}.";

    private static IRenderable Layers(PourPlan plan, SiteClock clock, string? site) => Sheets.Stack(Rows(plan, clock, site), plan.Layers.Count == 1 ? null
        : new Cell("Windows are those of the middle case; the time to pour suits most cases.", Tone.Faint).Render());

    private static IRenderable Rows(PourPlan plan, SiteClock clock, string? site) => Sheets.Rows("",
        ["#", "Pour at", "Depth", "Window opens", "closes", "Cases", "Peak °C"],
        plan.Layers.Select(layer => new Cell[]
        {
            $"{layer.LayerCount}", new(clock.At(layer.PourTime, site), Tone.Strong), new Depth(layer.DepthMm).ToString(),
            clock.At(layer.Window?.OpensLikelyTime, site), clock.At(layer.Window?.ClosesLikelyTime, site),
            layer.Window is { } window ? Share(window.BestShareRatio) : "",
            string.Create(CultureInfo.InvariantCulture, $"{layer.Peak.LowCelsius:0}–{layer.Peak.HighCelsius:0}"),
        }));

    private static IRenderable Gates(PourPlan plan, SiteClock clock, string? site) => Sheets.Rows("", ["Gate", "Safe", "Likely", "Earliest"],
        plan.Gates.Where(gate => PlannedGates.Contains(gate.Gate)).Select(gate => new Cell[]
        {
            Kernel.Words.Of(gate.Gate).ToUpperInvariant(),
            gate.SafeTime is null ? "not without warmth" : new Cell(clock.At(gate.SafeTime, site), Tone.Strong),
            clock.At(gate.LikelyTime, site), clock.At(gate.EarliestTime, site),
        }));

    private static string? Batch(BatchTime? batch) => batch is null ? null
        : $"{new Mass(batch.MassMg)} can be poured for {new Span(batch.WorkingDuration.ToTimeSpan())}, {new Temperature(batch.EndTemperatureCelsius)} by then";

    private static string Share(double ratio) => string.Create(CultureInfo.InvariantCulture, $"{100 * ratio:0} %");

    private static string Words(Bound bound) => bound switch
    {
        Bound.Peak => "deeper, one in twenty passes 80 °C",
        Bound.RunawayMargin => "deeper, it could run away",
        Bound.DataSheet => "the data sheet allows no more",
        _ => "the model goes no deeper",
    };

    private static Task CorrectAsync(Desk desk, Correct s) => SayAsync(desk, s, s.Id, new()
    {
        Kind = Correction.Types.Kind.IncorrectData,
        RightPiece = s.Piece is { } piece ? desk.Names.Piece(piece) : "",
        RightMix = s.Mix is { } mix ? desk.Names.Mix(mix) : "",
        MassMg = s.Mass?.Mg ?? 0,
        DepthMm = s.Depth?.Mm ?? 0,
    });

    private static Task UndoAsync(Desk desk, Undo s) => SayAsync(desk, s, s.Id, new() { Kind = Correction.Types.Kind.DidNotOccur });

    private static async Task SayAsync(Desk desk, CorrectSettings s, string id, CorrectPourRequest request)
    {
        (request.Name, request.Person, request.Reason) = (desk.Names.Pour(id), s.Person, s.Why);
        (request.ValidateOnly, request.RequestId) = (s.Ask, s.RequestId);
        await desk.PrintAsync(await desk.Server.Pieces.CorrectPourAsync(request, desk.Call), (pour, clock) => Sheets.Stack(
        [
            new Cell(s.Ask ? "WOULD BE ACCEPTED; nothing was recorded"
                : pour.DidNotOccur ? $"UNDONE: pour {id} did not occur" : $"CORRECTED: {ResourceNames.BriefPour(pour.Name)} stands instead", Tone.Strong).Render(),
            .. Cautions.Show(pour.Cautions),
            Corrections.Show(pour.Corrections, clock, pour.Bench),
        ]));
    }

    private static async Task PlanAsync(Desk desk, Plan s)
    {
        var bench = s.Bench is { } named ? desk.Names.Bench(named) : null;
        var request = new PlanPourRequest
        {
            ResinSystem = s.Resin is { } resin ? desk.Names.ResinSystem(resin) : "",
            CureClass = s.CureClass,
            Bench = bench ?? "",
            ResinTemperatureCelsius = s.Temperature.Celsius,
            TotalDepthMm = s.Depth.Mm,
            Vessel = s.Vessel is { } vessel ? ReadVessel(vessel) : null,
            WorkingDuration = s.Work is { } work ? Duration.FromTimeSpan(work.Length) : null,
            FirstPourTime = await desk.WhenAsync(s.At, WhenSense.Planned, () => bench is null ? desk.SiteAsync() : Task.FromResult(bench)),
        };
        if (s.Room is { } room)
            request.RoomTemperatureCelsius = room.Celsius;
        if (s.Board is { } board)
            request.BoardThicknessMm = board.Mm;
        if (s.Channel is { } channel)
            request.ChannelWidthMm = channel.Mm;
        if (s.Batch is { } batch)
            request.BatchMassMg = batch.Mg;
        var heading = $"Plan: {s.Depth} of {s.Resin ?? Kernel.Words.Of(s.CureClass)}{(bench is null ? "" : $" at {ResourceNames.Brief(bench)}")}";
        await desk.PrintAsync(await desk.Server.Advice.PlanPourAsync(request, desk.Call), (plan, clock) => Card(plan, clock, bench, heading));
    }

    /// <summary>Reads <c>200mmx250mm</c>: diameter, then height.</summary>
    /// <exception cref="FormatException">Not two lengths.</exception>
    public static MixVessel ReadVessel(string text)
    {
        var (diameter, height) = Pairs.Sizes(text, "200mmx250mm, diameter and height");
        return new() { DiameterMm = diameter.Mm, HeightMm = height.Mm };
    }

    private sealed class Correct : CorrectSettings
    {
        [CommandArgument(0, "<piece/pour>")]
        public required string Id { get; init; }

        [CommandOption("-p|--piece <PIECE>")]
        [Description("The piece that it really went into")]
        public string? Piece { get; init; }

        [CommandOption("-m|--mix <MIX>")]
        [Description("The mix that it really came from")]
        public string? Mix { get; init; }

        [CommandOption("--mass <MASS>")]
        [Description("What it really weighed, for example 1.2kg")]
        public Mass? Mass { get; init; }

        [CommandOption("-d|--depth <DEPTH>")]
        [Description("How deep it really was, for example 25mm")]
        public Depth? Depth { get; init; }
    }

    private sealed class Undo : CorrectSettings
    {
        [CommandArgument(0, "<piece/pour>")]
        public required string Id { get; init; }
    }

    private sealed class Plan : StudioSettings
    {
        [CommandArgument(0, "<depth>")]
        [Description("Depth wanted, all layers together, for example 60mm")]
        public required Depth Depth { get; init; }

        [CommandOption("-r|--resin <RESIN>")]
        [Description("A resin system; or say --class")]
        public string? Resin { get; init; }

        [CommandOption("--class <CLASS>")]
        [Description("deep-casting or fast-coating, where there is no resin system yet")]
        [TypeConverter(typeof(WordConverter<ResinSystem.Types.CureClass>))]
        public ResinSystem.Types.CureClass CureClass { get; init; }

        [CommandOption("--bench <BENCH>")]
        [Description("Where it will stand: its room as its readings foretell it; or say --room")]
        public string? Bench { get; init; }

        [CommandOption("--room <DEGREES>")]
        [Description("The room, held throughout, for example 20C")]
        public Temperature? Room { get; init; }

        [CommandOption("-t|--temp <DEGREES>", true)]
        [Description("Resin as poured, for example 22C")]
        public required Temperature Temperature { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When the first layer is poured; now unless told")]
        public string? At { get; init; }

        [CommandOption("--channel <WIDTH>")]
        [Description("Width of the resin between walls of wood: its edge cures later")]
        public Depth? Channel { get; init; }

        [CommandOption("--board <THICKNESS>")]
        [Description("Wood-based panel under the mould; the bench's unless told, 0mm for none")]
        public Depth? Board { get; init; }

        [CommandOption("--vessel <DIAMETERxHEIGHT>")]
        [Description("What the batch stands in, for example 200mmx250mm")]
        public string? Vessel { get; init; }

        [CommandOption("--batch <MASS>")]
        [Description("The planned batch; a full vessel unless told")]
        public Mass? Batch { get; init; }

        [CommandOption("--work <DURATION>")]
        [Description("How long the pouring takes, for example 40min: the largest batch that lasts so long")]
        public Span? Work { get; init; }
    }
}
