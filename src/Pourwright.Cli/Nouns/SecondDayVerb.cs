using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Work = Pourwright.V1.WorkStep.WorkOneofCase;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright piece second-day</c>: planer passes, grits and coats.</summary>
public static class SecondDayVerb
{
    public static async Task RunAsync(Desk desk, Settings s)
    {
        var piece = desk.Names.Piece(s.Id);
        var site = await desk.SiteOfPieceAsync(piece);
        var request = new PlanSecondDayRequest
        {
            Name = piece,
            ThicknessMm = { s.Thickness.Select(Millimetres) },
            TargetThicknessMm = s.Target.Mm,
            LengthMm = s.Length.Mm,
            WidthMm = s.Width.Mm,
            Faces = { s.Faces.Select(face => ReadFace(face, endGrain: false)), s.Ends.Select(end => ReadFace(end, endGrain: true)) },
            Cutter = s.Cutter,
            Settings = WorkHabits.Read(s.Habits),
            StartTime = await desk.WhenAsync(s.At, WhenSense.Planned, () => Task.FromResult(site)),
        };
        await desk.PrintAsync(await desk.Server.Advice.PlanSecondDayAsync(request, desk.Call), (plan, clock) => Card(plan, clock, site, s.Id));
    }

    public static IRenderable Card(SecondDayPlan plan, SiteClock clock, string site, string piece) => Sheets.Stack(
    [
        Sheets.Card($"Second day of piece {piece}",
            ("Read", string.Join(", ", plan.ThicknessMm.Select(mm => new Depth(mm).ToString()))),
            ("Work", plan.Steps.Count == 0 ? null : new Span(plan.WorkDuration.ToTimeSpan()).ToString()),
            ("Waits", plan.WaitDuration.ToTimeSpan() == TimeSpan.Zero ? null : new Span(plan.WaitDuration.ToTimeSpan()).ToString()),
            ("Ends", plan.Steps.Count == 0 ? null : clock.At(plan.EndTime, site))),
        plan.Steps.Count == 0 ? null : Sheets.Rows("", ["Begin", "What", "How", "For"], plan.Steps.Select(step => new Cell[]
        {
            clock.At(step.StartTime, site), new(What(step), Tone.Strong), How(step), new Span(step.Duration.ToTimeSpan()).ToString(),
        })),
        plan.Stop is { } stop ? new Cell(Stopped(stop, clock, site), Tone.Bad).Render() : null,
        new Cell(PourNoun.Zone(clock, site), Tone.Faint).Render(),
        .. Cautions.Show(plan.Cautions),
    ]);

    private static string Stopped(SecondDayPlan.Types.Stop stop, SiteClock clock, string site) =>
        $"STOP before {(stop.Gate == Gate.Handle ? "saw and planer" : "sanding")}: {Words.Of(stop.State).ToUpperInvariant()}"
        + $"{(stop.SafeTime is { } safe ? $", safe {clock.AtAndIn(safe, site)}" : "")}. {stop.Text}";

    private static string What(WorkStep step) => step.WorkCase switch
    {
        Work.PlanerPass => $"PLANE face {(step.PlanerPass.SecondFace ? 2 : 1)}",
        Work.TurnOver => "TURN it over",
        Work.SandGrit => $"SAND grit {step.SandGrit.Grit}",
        Work.Coat => $"COAT {step.Coat.CoatCount}",
        Work.WipeOff => "WIPE OFF",
        _ => "wait",
    };

    private static string How(WorkStep step) => step.WorkCase switch
    {
        Work.PlanerPass => $"set to {new Depth(step.PlanerPass.SettingMm)}, takes {new Depth(step.PlanerPass.TakesMm)}",
        Work.TurnOver => "the first face is clean",
        Work.SandGrit => $"{step.SandGrit.LaneCount} lanes, every old scratch gone",
        Work.Coat => "thin, all over",
        Work.WipeOff => "all of it, resin above all",
        _ => "",
    };

    private static double Millimetres(string text) => Depth.Parse(text).Mm;

    private static SandedFace ReadFace(string text, bool endGrain)
    {
        var (length, width) = Pairs.Sizes(text, "400mmx250mm");
        return new() { LengthMm = length.Mm, WidthMm = width.Mm, EndGrain = endGrain };
    }

    public sealed class Settings : StudioSettings
    {
        [CommandArgument(0, "<piece>")]
        public required string Id { get; init; }

        [CommandOption("--target <THICKNESS>", true)]
        [Description("Thickness wanted, for example 36mm")]
        public required Depth Target { get; init; }

        [CommandOption("--thickness <THICKNESS>")]
        [Description("A reading; repeat all over, thickest and thinnest above all. Its checks' since the last planing unless told")]
        public string[] Thickness { get; init; } = [];

        [CommandOption("--length <LENGTH>", true)]
        [Description("Along the planer")]
        public required Depth Length { get; init; }

        [CommandOption("--width <LENGTH>", true)]
        [Description("Across the planer")]
        public required Depth Width { get; init; }

        [CommandOption("--cutter <CUTTER>", true)]
        [Description("helical-head, straight-knives or router-sled")]
        [TypeConverter(typeof(WordConverter<PlanSecondDayRequest.Types.Cutter>))]
        public required PlanSecondDayRequest.Types.Cutter Cutter { get; init; }

        [CommandOption("--face <LENGTHxWIDTH>")]
        [Description("A face to sand, for example 400mmx250mm; top and bottom unless told")]
        public string[] Faces { get; init; } = [];

        [CommandOption("--end <LENGTHxWIDTH>")]
        [Description("A face of end grain to sand")]
        public string[] Ends { get; init; } = [];

        [CommandOption("--set <HABIT=VALUE>")]
        [Description("The studio's own habit, for example pass=0.5mm, first-grit=80, coats=1, recoat=12h; a wrong name lists them")]
        public string[] Habits { get; init; } = [];

        [CommandOption("--at <TIME>")]
        [Description("When the work begins; now unless told")]
        public string? At { get; init; }
    }
}
