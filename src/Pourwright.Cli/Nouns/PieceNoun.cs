using System.ComponentModel;
using System.Globalization;
using Grpc.Core;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright piece ...</c>; readiness, what-if and the second day have files of their own.</summary>
public static class PieceNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("What one student takes home");
        noun.Verb<Create>("create", "Creates a piece: wood in a mould, before the first pour", CreateAsync,
            "piece", "create", "piece-7", "--label", "7", "--maker", "Rui", "--session", "2026-05-10 09:00");
        noun.Verb<Filter>("list", "Lists the pieces", ListAsync, "piece", "list", "--state", "curing");
        noun.Verb<One>("show", "Shows a piece with its pours, checks and steps", ShowAsync);
        noun.Verb<Pour>("pour", "Records a pour from a mix", PourAsync,
            "piece", "pour", "piece-7", "mix-1", "1.2kg", "40mm", "--bench", "north/bench-1", "--by", "Ana");
        noun.Verb<Check>("check", "Records what a person saw; touch the slowest place: thinnest edge or coldest side", CheckAsync,
            "piece", "check", "piece-7", "firm", "--shore-d", "78", "--by", "Ana");
        noun.Verb<Step>("step", "Records what was done", StepAsync, "piece", "step", "piece-7", "demold", "--by", "Ana");
        noun.Verb<WithReason>("hold", "Keeps a piece in the house and off the tools", HoldAsync,
            "piece", "hold", "piece-7", "soft at one edge", "--by", "Ana");
        noun.Verb<WithReason>("release", "Lets go a piece that a person held", ReleaseAsync);
        noun.Verb<ReadyVerb.Settings>("ready", "How ready one piece is, or every poured piece in the house", ReadyVerb.RunAsync,
            "piece", "ready", "--watch");
        noun.Verb<WhatIfVerb.OfPiece>("what-if", "What a change would do to it: warmth, or another session", WhatIfVerb.AskOfPieceAsync,
            "piece", "what-if", "piece-7", "--hold", "24C", "--from", "tomorrow 18:00");
        noun.Verb<SecondDayVerb.Settings>("second-day", "Planer passes, grits and coats, as far as it is ready for them", SecondDayVerb.RunAsync,
            "piece", "second-day", "piece-7", "--target", "36mm", "--thickness", "40mm", "--length", "400mm", "--width", "250mm",
            "--cutter", "helical-head");
        noun.Verb<Trace>("trace", "What went into a piece, and which others share it", TraceAsync,
            "piece", "trace", "piece-7", "--pdf", "piece-7.pdf");
        noun.Verb<Picture>("picture", "Draws the cure: temperatures, conversion, gates, the next layer, what people felt", PictureAsync,
            "piece", "picture", "piece-7", "--to", "piece-7.svg");
    }

    public static IRenderable Card(Piece piece, SiteClock clock) => Sheets.Card($"Piece {ResourceNames.Brief(piece.Name)}, label {piece.Label}",
        ("State", State(piece)),
        ("HELD", piece.Held ? new Cell($"{piece.HoldReason}: not handed over, not worked on", Tone.Bad) : ""),
        ("Maker", piece.Maker),
        ("Class", piece.CastingClassDisplayName == "" ? piece.CastingClass : $"{piece.CastingClassDisplayName} ({ResourceNames.Brief(piece.CastingClass)})"),
        ("Stands at", ResourceNames.Brief(piece.Bench == "" ? piece.Site : piece.Bench)),
        ("Mould", piece.Mould),
        ("Wood", Joined(piece.WoodSpecies, piece.HasWoodMoisturePercent ? $"{new Percent(piece.WoodMoisturePercent)} moisture" : null)),
        ("Resin between wood", piece.HasChannelWidthMm ? $"{new Depth(piece.ChannelWidthMm)} wide" : null),
        ("Maker comes back", clock.AtAndIn(piece.PlannedSessionTime, piece.Site)));

    public static IRenderable Rows(ListPiecesResponse all, SiteClock clock) => Sheets.Rows("No piece.",
        ["Label", "Piece", "Maker", "State", "Stands at", "Maker comes back"],
        all.Pieces.Select(piece => new Cell[]
        {
            new(piece.Label, Tone.Strong), ResourceNames.Brief(piece.Name), piece.Maker, State(piece),
            ResourceNames.Brief(piece.Bench == "" ? piece.Site : piece.Bench), clock.At(piece.PlannedSessionTime, piece.Site),
        }));

    private static string State(Piece piece) => Words.Of(piece.State).ToUpperInvariant() + (piece.Held ? ", HELD" : "");

    private static async Task HoldAsync(Desk desk, WithReason s) => await desk.PrintAsync(await desk.Server.Pieces.HoldPieceAsync(
        new() { Name = desk.Names.Piece(s.Id), Reason = s.Reason, Person = s.Person, RequestId = s.RequestId }, desk.Call), Card);

    private static async Task ReleaseAsync(Desk desk, WithReason s) => await desk.PrintAsync(await desk.Server.Pieces.ReleasePieceAsync(
        new() { Name = desk.Names.Piece(s.Id), Reason = s.Reason, Person = s.Person, RequestId = s.RequestId }, desk.Call), Card);

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var piece = new Piece
        {
            Site = await desk.SiteAsync(),
            Label = s.Label,
            Maker = s.Maker ?? "",
            CastingClass = s.Class is { } id ? desk.Names.Class(id) : s.CastingClass ?? "",
            Mould = s.Mould ?? "",
            WoodSpecies = s.Wood ?? "",
            PlannedSessionTime = await desk.BoundAsync(s.Session, WhenSense.Planned, desk.SiteAsync),
        };
        if (s.Moisture is { } moisture)
            piece.WoodMoisturePercent = moisture.Value;
        if (s.Channel is { } channel)
            piece.ChannelWidthMm = channel.Mm;
        var request = new CreatePieceRequest { Parent = desk.Names.Studio, Piece = piece, PieceId = s.Id ?? "", RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Pieces.CreatePieceAsync(request, desk.Call), Card);
    }

    private static async Task ListAsync(Desk desk, Filter s)
    {
        var request = new ListPiecesRequest { Parent = desk.Names.Studio, Site = desk.SiteFilter, State = s.State };
        await desk.PrintAsync(await Server.ListAsync(request, desk.Server.Pieces.ListPiecesAsync, desk.Stop), Rows);
    }

    private static async Task ShowAsync(Desk desk, One s)
    {
        var name = desk.Names.Piece(s.Id);
        var piece = await desk.Server.Pieces.GetPieceAsync(new() { Name = name }, desk.Call);
        await desk.PrintAsync(piece, Card);
        if (!desk.Output.Json)
            await ShowHistoryAsync(desk, piece);
    }

    private static async Task ShowHistoryAsync(Desk desk, Piece piece)
    {
        var pours = await Server.ListAsync(new ListPoursRequest { Parent = piece.Name }, desk.Server.Pieces.ListPoursAsync, desk.Stop);
        var checks = await Server.ListAsync(new ListChecksRequest { Parent = piece.Name }, desk.Server.Pieces.ListChecksAsync, desk.Stop);
        var steps = await Server.ListAsync(new ListStepsRequest { Parent = piece.Name }, desk.Server.Pieces.ListStepsAsync, desk.Stop);
        var clock = await desk.ClockAsync();
        desk.Output.Show(History(piece, pours.Pours, checks.Checks, steps.Steps, clock));
    }

    /// <summary>Pours, checks and steps in one table, first to last.</summary>
    public static IRenderable History(
        Piece piece, IEnumerable<V1.Pour> pours, IEnumerable<V1.Check> checks, IEnumerable<V1.Step> steps, SiteClock clock) =>
        Sheets.Rows("Nothing poured yet.", ["When", "What", "Facts", "By"],
            pours.Select(pour => (pour.PourTime, $"POUR layer {pour.LayerCount} ({ResourceNames.Brief(pour.Name)})", Facts(pour), pour.Pourer))
                .Concat(checks.Select(check => (check.CheckTime, "CHECK", Facts(check), check.Checker)))
                .Concat(steps.Select(step => (step.StepTime, Words.Of(step.Kind).ToUpperInvariant(), Facts(step), step.Worker)))
                .OrderBy(row => row.Item1)
                .Select(row => new Cell[] { clock.At(row.Item1, piece.Site), row.Item2, row.Item3, row.Item4 }));

    private static string Facts(V1.Pour pour) => Joined(
        $"{new Depth(pour.DepthMm)}, {new Mass(pour.MassMg)} of {ResourceNames.Brief(pour.Mix)} on {ResourceNames.Brief(pour.Bench)}",
        pour.HasResinTemperatureCelsius ? $"resin {new Temperature(pour.ResinTemperatureCelsius)}" : null,
        pour.HasSurfaceTemperatureCelsius ? $"surface {new Temperature(pour.SurfaceTemperatureCelsius)}" : null,
        pour.DeviationReason);

    private static string Facts(V1.Check check) => Joined(
        Words.Of(check.Touch).ToUpperInvariant(),
        check.ShoreDBelowScale ? "Shore D below scale" : null,
        check.HasShoreD ? string.Create(CultureInfo.InvariantCulture, $"Shore D {check.ShoreD:0.#}") : null,
        check.HasSurfaceTemperatureCelsius ? $"surface {new Temperature(check.SurfaceTemperatureCelsius)}" : null,
        check.HasThicknessMm ? $"thickness {new Depth(check.ThicknessMm)}" : null,
        check.Note);

    private static string Facts(V1.Step step) => Joined(step.Bench == "" ? null : $"to {ResourceNames.Brief(step.Bench)}", step.Note);

    private static string Joined(params string?[] parts) => string.Join(", ", parts.Where(part => !string.IsNullOrEmpty(part)));

    private static async Task PourAsync(Desk desk, Pour s)
    {
        var name = desk.Names.Piece(s.Id);
        var pour = new V1.Pour
        {
            Mix = desk.Names.Mix(s.Mix),
            Bench = s.Bench is null ? await BenchOfAsync(desk, name) : desk.Names.Bench(s.Bench),
            MassMg = s.Mass.Equals("all", StringComparison.OrdinalIgnoreCase) ? await LeftOfAsync(desk, s.Mix) : Mass.Parse(s.Mass).Mg,
            DepthMm = s.Depth.Mm,
            PourTime = await desk.WhenAsync(s.At, WhenSense.Happened, () => desk.SiteOfPieceAsync(name)),
            Pourer = s.Person,
            DeviationReason = s.Deviation ?? "",
        };
        if (s.Temperature is { } resin)
            pour.ResinTemperatureCelsius = resin.Celsius;
        if (s.Surface is { } surface)
            pour.SurfaceTemperatureCelsius = surface.Celsius;
        var request = new RecordPourRequest { Parent = name, Pour = pour, RequestId = s.RequestId, ValidateOnly = s.Ask };
        await desk.PrintAsync(await desk.Server.Pieces.RecordPourAsync(request, desk.Call), (answer, clock) => PourCard(answer, clock, s.Id, s.Ask));
    }

    private static IRenderable PourCard(V1.Pour pour, SiteClock clock, string piece, bool asked) => Sheets.Stack(
    [
        Sheets.Card(asked ? "WOULD BE ACCEPTED; nothing was recorded" : $"POURED: layer {pour.LayerCount} of piece {piece}",
            ("What", Facts(pour)), ("When", clock.At(pour.PourTime, pour.Bench)), ("By", pour.Pourer)),
        .. Cautions.Show(pour.Cautions),
        asked ? null : new Cell($"When it is ready: pourwright piece ready {piece}", Tone.Faint).Render(),
    ]);

    private static async Task<string> BenchOfAsync(Desk desk, string piece) =>
        (await desk.Server.Pieces.GetPieceAsync(new() { Name = piece }, desk.Call)).Bench is { Length: > 0 } bench
            ? bench
            : throw new UsageException("Which bench does it stand on? Write --bench SITE/BENCH with the first pour.");

    private static async Task<long> LeftOfAsync(Desk desk, string mix) =>
        (await desk.Server.Mixes.GetMixAsync(new() { Name = desk.Names.Mix(mix) }, desk.Call)).RemainingMassMg;

    private static async Task CheckAsync(Desk desk, Check s)
    {
        var name = desk.Names.Piece(s.Id);
        var check = new V1.Check
        {
            CheckTime = await desk.WhenAsync(s.At, WhenSense.Happened, () => desk.SiteOfPieceAsync(name)),
            Checker = s.Person,
            Touch = s.Touch,
            ShoreDBelowScale = s.ShoreDBelowScale,
            Note = s.Note ?? "",
        };
        if (s.ShoreD is { } shore)
            check.ShoreD = shore;
        if (s.Surface is { } surface)
            check.SurfaceTemperatureCelsius = surface.Celsius;
        if (s.Thickness is { } thickness)
            check.ThicknessMm = thickness.Mm;
        var request = new RecordCheckRequest { Parent = name, Check = check, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Pieces.RecordCheckAsync(request, desk.Call), (answer, clock) =>
            Sheets.Card($"CHECKED: piece {s.Id}", ("Seen", Facts(answer)), ("When", clock.At(answer.CheckTime, null)), ("By", answer.Checker)));
        await ShowReadinessAsync(desk, name);
    }

    private static async Task StepAsync(Desk desk, Step s)
    {
        var name = desk.Names.Piece(s.Id);
        var step = new V1.Step
        {
            Kind = s.Kind,
            StepTime = await desk.WhenAsync(s.At, WhenSense.Happened, () => desk.SiteOfPieceAsync(name)),
            Worker = s.Person,
            Bench = s.To is null ? "" : await BenchAtPieceAsync(desk, name, s.To),
            Note = s.Note ?? "",
        };
        var request = new RecordStepRequest { Parent = name, Step = step, RequestId = s.RequestId, ValidateOnly = s.Ask };
        await desk.PrintAsync(await desk.Server.Pieces.RecordStepAsync(request, desk.Call), (answer, clock) => StepCard(answer, clock, s.Id, s.Ask));
    }

    private static IRenderable StepCard(V1.Step step, SiteClock clock, string piece, bool asked) => Sheets.Stack(
    [
        .. Cautions.Show(step.Cautions),
        Sheets.Card(
            $"{(asked ? "WOULD BE ACCEPTED; nothing was recorded" : "RECORDED")}: {Words.Of(step.Kind)}, piece {piece}",
            ("Facts", Facts(step)), ("When", clock.At(step.StepTime, null)), ("By", step.Worker)),
    ]);

    private static async Task<string> BenchAtPieceAsync(Desk desk, string piece, string bench) =>
        bench.Contains('/', StringComparison.Ordinal)
            ? desk.Names.Bench(bench)
            : new ResourceNames(desk.Names.Studio, await desk.SiteOfPieceAsync(piece)).Bench(bench);

    /// <summary>What the check changes. It is recorded already: a server that cannot tell does not make the command fail.</summary>
    private static async Task ShowReadinessAsync(Desk desk, string piece)
    {
        if (desk.Output.Json)
            return;
        try
        {
            var readiness = await desk.Server.Forecasts.GetReadinessAsync(new() { Name = piece }, desk.Call);
            desk.Output.Show(ReadyVerb.Card(readiness, await desk.ClockAsync()));
        }
        catch (RpcException unknown)
        {
            desk.Output.Say(new($"How ready it is now cannot be told: {unknown.Status.Detail}", Tone.Faint));
        }
    }

    private static async Task TraceAsync(Desk desk, Trace s)
    {
        var name = desk.Names.Piece(s.Id);
        if (desk.Output.Json)
            desk.Output.Message(await desk.Server.Traces.TracePieceAsync(new() { Name = name }, desk.Call));
        if (!desk.Output.Json || s.Pdf is not null)
            await TraceOutput.PrintAsync(desk, name, s.Pdf);
    }

    private static Task PictureAsync(Desk desk, Picture s) => TraceOutput.DrawAsync(desk, desk.Names.Piece(s.Id), s.To, s.WidthPx);

    private sealed class Create : WriteSettings
    {
        [CommandArgument(0, "[piece]")]
        [Description("The code on its label; made up where left out")]
        public string? Id { get; init; }

        [CommandOption("-l|--label <LABEL>", true)]
        [Description("What the label says in large print, for example 7")]
        public required string Label { get; init; }

        [CommandOption("-m|--maker <NAME>")]
        [Description("The student's name as on the label")]
        public string? Maker { get; init; }

        [CommandOption("--class <NAME>")]
        [Description("The class it belongs to, in your own words")]
        public string? CastingClass { get; init; }

        [CommandOption("--of-class <CLASS>")]
        [Description("The class it belongs to, by its id")]
        public string? Class { get; init; }

        [CommandOption("--mould <NAME>")]
        public string? Mould { get; init; }

        [CommandOption("--wood <SPECIES>")]
        public string? Wood { get; init; }

        [CommandOption("--channel <WIDTH>")]
        [Description("Narrowest width of the resin between walls of wood, for example 120mm; their edges cure later")]
        public Depth? Channel { get; init; }

        [CommandOption("--moisture <PERCENT>")]
        [Description("Moisture of the wood by meter")]
        public Percent? Moisture { get; init; }

        [CommandOption("--session <TIME>")]
        [Description("When its maker comes back: it must be fit for saw and planer by then")]
        public string? Session { get; init; }
    }

    private sealed class Filter : StudioSettings
    {
        [CommandOption("--state <STATE>")]
        [Description("prepared, curing, demolded, handed-over or scrapped")]
        [TypeConverter(typeof(WordConverter<Piece.Types.State>))]
        public Piece.Types.State State { get; init; }
    }

    private sealed class WithReason : PersonSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<reason>")]
        [Description("Why; in quotes")]
        public required string Reason { get; init; }
    }

    private class One : StudioSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }
    }

    private sealed class Trace : One
    {
        [CommandOption("--pdf <FILE>")]
        [Description("Write the trace into a PDF file")]
        public string? Pdf { get; init; }
    }

    private sealed class Picture : One
    {
        [CommandOption("--to <FILE>", true)]
        [Description("The file; its ending says which kind: .svg or .png")]
        public required string To { get; init; }

        [CommandOption("--width <PIXELS>")]
        [Description("400 to 4000; 1000 unless told")]
        public int WidthPx { get; init; }
    }

    private sealed class Pour : PersonSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<mix>")]
        public required string Mix { get; init; }

        [CommandArgument(2, "<mass>")]
        [Description("How much, for example 1.2kg, or all that the mix has left")]
        public required string Mass { get; init; }

        [CommandArgument(3, "<depth>")]
        [Description("Depth of this layer at its deepest place, for example 40mm")]
        public required Depth Depth { get; init; }

        [CommandOption("--bench <BENCH>")]
        [Description("Where it stands; for a further layer, where it stands already")]
        public string? Bench { get; init; }

        [CommandOption("--check")]
        [Description("Ask first: would this be accepted? Nothing is kept")]
        public bool Ask { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When it was poured; now unless told")]
        public string? At { get; init; }

        [CommandOption("-t|--temp <DEGREES>")]
        [Description("Resin as poured, for example 24C; the mix's own unless told")]
        public Temperature? Temperature { get; init; }

        [CommandOption("--surface <DEGREES>")]
        [Description("Coldest of mould and wood, for example 18C; decides the dew-point margin")]
        public Temperature? Surface { get; init; }

        [CommandOption("--deviation <REASON>")]
        [Description("Records a pour over a limit all the same, and why: what was poured must not go missing")]
        public string? Deviation { get; init; }
    }

    private sealed class Check : PersonSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }

        [CommandArgument(1, "[touch]")]
        [Description("tacky, soft or firm")]
        [TypeConverter(typeof(WordConverter<V1.Check.Types.Touch>))]
        public V1.Check.Types.Touch Touch { get; init; }

        [CommandOption("--shore-d <VALUE>")]
        public double? ShoreD { get; init; }

        [CommandOption("--shore-d-below-scale")]
        [Description("The durometer could not read: too soft")]
        public bool ShoreDBelowScale { get; init; }

        [CommandOption("--surface <DEGREES>")]
        [Description("Surface temperature, for example 26C")]
        public Temperature? Surface { get; init; }

        [CommandOption("--thickness <LENGTH>")]
        public Depth? Thickness { get; init; }

        [CommandOption("--note <TEXT>")]
        [Description("Where on the piece, and anything else")]
        public string? Note { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When; now unless told")]
        public string? At { get; init; }
    }

    private sealed class Step : PersonSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<what>")]
        [Description("move, demold, saw, plane, sand, finish, hand-over or scrap")]
        [TypeConverter(typeof(WordConverter<V1.Step.Types.Kind>))]
        public required V1.Step.Types.Kind Kind { get; init; }

        [CommandOption("--to <BENCH>")]
        [Description("Where to, for a move")]
        public string? To { get; init; }

        [CommandOption("--check")]
        [Description("Ask first: would this be accepted, and with which cautions? Nothing is kept")]
        public bool Ask { get; init; }

        [CommandOption("--note <TEXT>")]
        public string? Note { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When; now unless told")]
        public string? At { get; init; }
    }
}
