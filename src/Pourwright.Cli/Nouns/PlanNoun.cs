using System.ComponentModel;
using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Stage = Pourwright.V1.PlanProgress.Types.Stage;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright plan ...</c>: class dates over several sites.</summary>
public static class PlanNoun
{
    private const string Published = "published";

    public static void Register(Noun noun)
    {
        noun.Describe("Class dates over several sites, planned on what the cure model says of each room");
        noun.Verb<Season>("season", "Drafts a season, telling how it stands; nobody is told of a draft", SeasonAsync,
            "plan", "season", "--from", "2027-01-04", "--weeks", "12");
        noun.Verb<One>("show", "Shows a plan as people read it: what changes, site by site, who has no place and why", ShowAsync, "plan", "show");
        noun.Verb<StudioSettings>("list", "Lists drafts, proposals and plans, newest first", ListAsync);
        noun.Verb<Publication>("publish", "Publishes a draft: it is checked again, its sessions are saved and people are told", PublishAsync,
            "plan", "publish", "plan-1", "--by", "Olive");
        noun.Verb<Why>("explain", "Why a class has no place, and which smallest changes would give it one", ExplainAsync,
            "plan", "explain", "boards-3", "--plan", "plan-1");
        noun.Verb<Happened>("replan", "What could be done when something happens; nothing is changed until you choose", ReplanAsync,
            "plan", "replan", "--away", "ana", "--from", "2027-01-11", "--to", "2027-01-17");
        noun.Verb<Publication>("choose", "Publishes a proposal in place of the plan it was made from", ChooseAsync,
            "plan", "choose", "plan-2", "--by", "Olive");
        noun.Verb<Picture>("picture", "Draws a plan into a file: a lane a bench, closures hatched, classes at risk marked", PictureAsync,
            "plan", "picture", "--to", "season.svg");
    }

    /// <summary>A plan as people read it.</summary>
    public static IRenderable Card(Plan plan, SiteClock clock) => Sheets.Stack(
    [
        Sheets.Card($"{ResourceNames.Brief(plan.Name)}  {Words.Of(plan.State).ToUpperInvariant()}",
            ("Published", plan.PublishTime is null ? null : $"{clock.At(plan.PublishTime, null)} by {plan.Publisher}"),
            ("Because", plan.Reason),
            ("Goes on from", ResourceNames.Brief(plan.BasePlan)),
            ("Moved, given up", plan.MovedCount + plan.CancelledCount == 0 ? null : $"{plan.MovedCount}, {plan.CancelledCount}")),
        new Cell(plan.Text).Render(),
        .. Cautions.Show(plan.Cautions),
    ]);

    // Proposals are read beside each other: what they leave alone is shown by `plan show`.
    private static Plan WhatChanges(Plan plan)
    {
        var shown = plan.Clone();
        shown.Text = string.Join("\n\n", plan.Text.Split("\n\n").Where((section, index) =>
            index == 0 || section.StartsWith("What changes", StringComparison.Ordinal) || section.StartsWith("Without a place", StringComparison.Ordinal)));
        return shown;
    }

    /// <summary>Why a class has no place.</summary>
    public static IRenderable Card(ClassExplanation why, SiteClock clock) => Sheets.Stack(
    [
        new Cell(why.Text, Tone.Strong).Render(),
        .. why.Ways.Count == 0 ? [new Cell("No change that was tried gives it one.").Render()] : why.Ways.Select(way => Way(way, clock)),
    ]);

    private static Spectre.Console.Text Way(ClassExplanation.Types.Way way, SiteClock clock) => new Cell(
        $"• {string.Join(" AND ", way.Changes)}: then {ResourceNames.Brief(way.Placed.Site)}, "
        + string.Join(", ", way.Placed.Sessions.Select(session => $"{Words.Of(session.Kind)} {clock.At(session.StartTime, way.Placed.Site)}"))).Render();

    private static async Task SeasonAsync(Desk desk, Season s)
    {
        var publisher = s.Publish ? s.Person : "";
        var request = new PlanSeasonRequest
        {
            Parent = desk.Names.Studio, FirstDate = WrittenDay.Parse(s.From), DayCount = 7 * s.Weeks, KeepOnCancel = s.Keep, PlanId = s.Id ?? "", RequestId = s.RequestId,
            SearchDuration = s.For is { } limit ? Duration.FromTimeSpan(limit.Length) : null,
        };
        var last = await FollowAsync(desk, desk.Server.Plans.PlanSeason(request, cancellationToken: desk.Stop));
        await desk.PrintAsync(last.Plan, Card);
        if (!s.Publish) return;
        var published = await desk.Server.Plans.PublishPlanAsync(new() { Name = last.Plan.Name, Publisher = publisher, RequestId = Guid.NewGuid().ToString() }, desk.Call);
        desk.Output.Say(new($"{ResourceNames.Brief(published.Name)} is published; people are told.", Tone.Strong));
    }

    private static async Task ReplanAsync(Desk desk, Happened s)
    {
        if (s.Choose < 1) throw new UsageException($"--choose {s.Choose}: proposals are counted from 1.");
        var chooser = s.Choose is null ? "" : s.Person;
        var request = new ReplanRequest
        {
            Parent = desk.Names.Studio, Event = Event(desk, s), RequestId = s.RequestId,
            NearClasses = { (s.Near ?? []).Select(desk.Names.Class) },
            SearchDuration = s.For is { } limit ? Duration.FromTimeSpan(limit.Length) : null,
        };
        var last = await FollowAsync(desk, desk.Server.Plans.Replan(request, cancellationToken: desk.Stop));
        await desk.PrintAsync(new ListPlansResponse { Plans = { last.Proposals } }, (all, clock) => all.Plans.Count == 0
            ? new Cell("Nothing to choose: the last line says why.").Render()
            : Sheets.Stack(all.Plans.Select(plan => Card(WhatChanges(plan), clock)).Append(new Cell("Choose one with: pourwright plan choose PLAN --by NAME", Tone.Faint).Render())));
        if (s.Choose is not { } number) return;
        if (number > last.Proposals.Count)
            throw new HalfDoneException($"There is no proposal {number}: {last.Proposals.Count} came of it, and none is published. Choose one with: pourwright plan choose PLAN --by NAME.");
        var chosen = await desk.Server.Plans.ChooseProposalAsync(
            new() { Name = last.Proposals[number - 1].Name, Chooser = chooser, RequestId = Guid.NewGuid().ToString() }, desk.Call);
        desk.Output.Say(new($"{ResourceNames.Brief(chosen.Name)} is published in place of {ResourceNames.Brief(chosen.BasePlan)}; people are told.", Tone.Strong));
    }

    /// <summary>Shows each message on a line while it works; the last holds the answer.</summary>
    private static async Task<PlanProgress> FollowAsync(Desk desk, AsyncServerStreamingCall<PlanProgress> call)
    {
        using var open = call;
        var last = new PlanProgress();
        await foreach (var progress in call.ResponseStream.ReadAllAsync(desk.Stop))
        {
            last = progress;
            if (progress.Stage != Stage.Done)
                desk.Output.Say(new(string.Create(CultureInfo.InvariantCulture, $"{progress.ElapsedDuration.ToTimeSpan().TotalSeconds,6:0.0} s  {Words.Of(progress.Stage),-6}  {progress.Text}"), Tone.Faint));
        }
        return last;
    }

    private static async Task ShowAsync(Desk desk, One s) =>
        await desk.PrintAsync(await desk.Server.Plans.GetPlanAsync(new() { Name = desk.Names.Plan(s.Plan ?? Published) }, desk.Call), Card);

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListPlansRequest { Parent = desk.Names.Studio }, desk.Server.Plans.ListPlansAsync, desk.Stop),
        (all, clock) => Sheets.Rows("There is no plan yet.", ["Plan", "State", "Made", "Pours from", "Classes", "Students", "Moved", "Given up", "Because"],
            all.Plans.Select(plan => new Cell[]
            {
                ResourceNames.Brief(plan.Name), Words.Of(plan.State).ToUpperInvariant(), clock.At(plan.CreateTime, null),
                WrittenDay.Of(plan.FirstDate), $"{plan.ClassCount}",
                $"{plan.StudentCount} of {plan.StudentBoundCount}", $"{plan.MovedCount}", $"{plan.CancelledCount}", plan.Reason,
            })));

    private static async Task PublishAsync(Desk desk, Publication s) => await desk.PrintAsync(
        await desk.Server.Plans.PublishPlanAsync(new()
        {
            Name = desk.Names.Plan(s.Plan), Publisher = s.Person, Reason = s.Reason ?? "", NearSessionsDecider = s.Decider ?? "", RequestId = s.RequestId,
        }, desk.Call), Card);

    private static async Task ChooseAsync(Desk desk, Publication s) => await desk.PrintAsync(
        await desk.Server.Plans.ChooseProposalAsync(new()
        {
            Name = desk.Names.Plan(s.Plan), Chooser = s.Person, Reason = s.Reason ?? "", NearSessionsDecider = s.Decider ?? "", RequestId = s.RequestId,
        }, desk.Call), Card);

    private static async Task ExplainAsync(Desk desk, Why s) => await desk.PrintAsync(
        await desk.Server.Plans.ExplainClassAsync(new() { Name = desk.Names.Plan(s.Plan ?? Published), CastingClass = desk.Names.Class(s.Class) }, desk.Call), Card);

    private static async Task PictureAsync(Desk desk, Picture s)
    {
        var format = Path.GetExtension(s.To).ToLowerInvariant() switch
        {
            ".svg" => DrawPlanRequest.Types.Format.Svg,
            ".png" => DrawPlanRequest.Types.Format.Png,
            ".pdf" => DrawPlanRequest.Types.Format.Pdf,
            _ => throw new UsageException($"'{s.To}' names no kind of picture: let the file end in .svg, .png or .pdf."),
        };
        var picture = await desk.Server.Plans.DrawPlanAsync(new() { Name = desk.Names.Plan(s.Plan ?? Published), Format = format, WidthPx = s.WidthPx }, desk.Call);
        await TraceOutput.SaveAsync(desk, picture.Data.Memory, s.To);
    }

    private static PlanEvent Event(Desk desk, Happened s)
    {
        var happened = new PlanEvent { StartDate = WrittenDay.Parse(s.From), EndDate = WrittenDay.Parse(s.To ?? s.From) };
        var said = new[] { s.Away, s.Cold, s.Closed, s.Down, s.Hold }.Count(text => text is not null);
        if (said != 1) throw new UsageException("Say one thing that happened: --away, --cold, --closed, --down or --hold.");
        if (s.Away is { } who) happened.InstructorAway = new() { Instructor = desk.Names.Instructor(who) };
        if (s.Closed is { } closed) happened.SiteClosed = new() { Site = desk.Names.Site(closed) };
        if (s.Down is { } down) happened.StationDown = new() { Station = desk.Names.Station(down) };
        if (s.Hold is { } lot) happened.LotOnHold = new() { Lot = desk.Names.Lot(lot) };
        if (s.Cold is { } cold) happened.ColdSnap = new() { Site = desk.Names.Site(cold), OffsetCelsius = -Math.Abs(s.Colder.Kelvin) };
        return happened;
    }

    private sealed class Season : PersonSettings
    {
        [CommandOption("--from <DAY>", true)]
        [Description("First day on which a pour may lie, for example 2027-01-04")]
        public required string From { get; init; }

        [CommandOption("--weeks <COUNT>")]
        [Description("Weeks in which a pour may lie; 12 unless told")]
        public int Weeks { get; init; } = 12;

        [CommandOption("--for <DURATION>")]
        [Description("How long to search at most, for example 5min; until the usual work is done unless told")]
        public Span? For { get; init; }

        [CommandOption("--keep")]
        [Description("Save the best plan so far when you press Ctrl+C")]
        public bool Keep { get; init; }

        [CommandOption("--id <ID>")]
        [Description("Id of the draft")]
        public string? Id { get; init; }

        [CommandOption("--publish")]
        [Description("Publish the draft at once, in your name")]
        public bool Publish { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "[plan]")]
        [Description("A plan; the one that holds unless told")]
        public string? Plan { get; init; }
    }

    private sealed class Publication : PersonSettings
    {
        [CommandArgument(0, "<plan>")]
        public required string Plan { get; init; }

        [CommandOption("--reason <TEXT>")]
        [Description("Why, for the people whose sessions change")]
        public string? Reason { get; init; }

        [CommandOption("--decider <NAME>")]
        [Description("Who answers for changes of sessions within a day, and has spoken with the people")]
        public string? Decider { get; init; }
    }

    private sealed class Why : StudioSettings
    {
        [CommandArgument(0, "<class>")]
        public required string Class { get; init; }

        [CommandOption("--plan <PLAN>")]
        [Description("Beside which plan; the one that holds unless told")]
        public string? Plan { get; init; }
    }

    private sealed class Happened : PersonSettings
    {
        [CommandOption("--away <INSTRUCTOR>")]
        [Description("An instructor is away")]
        public string? Away { get; init; }

        [CommandOption("--cold <SITE>")]
        [Description("The rooms of a site are colder; say by how much with --colder")]
        public string? Cold { get; init; }

        [CommandOption("--colder <DEGREES>")]
        [Description("How much colder, for example 5C or 9F; 5C unless told")]
        public TemperatureDifference Colder { get; init; } = new(5);

        [CommandOption("--closed <SITE>")]
        [Description("Nobody may come in; pieces go on curing")]
        public string? Closed { get; init; }

        [CommandOption("--down <STATION>")]
        [Description("A station cannot be used, for example north/planer")]
        public string? Down { get; init; }

        [CommandOption("--hold <LOT>")]
        [Description("A lot may not be poured")]
        public string? Hold { get; init; }

        [CommandOption("--from <DAY>", true)]
        [Description("First day, for example 2027-01-11")]
        public required string From { get; init; }

        [CommandOption("--to <DAY>")]
        [Description("Last day; the first unless told")]
        public string? To { get; init; }

        [CommandOption("--for <DURATION>")]
        [Description("How long to search at most; 30 s unless told")]
        public Span? For { get; init; }

        [CommandOption("--near <CLASS>")]
        [Description("A class whose sessions may change although they begin within a day; may be said again")]
        public string[]? Near { get; init; }

        [CommandOption("--choose <NUMBER>")]
        [Description("Publish that proposal at once, in your name: 1 is the first shown; look at all of them first where you can")]
        public int? Choose { get; init; }
    }

    private sealed class Picture : StudioSettings
    {
        [CommandOption("--to <FILE>", true)]
        [Description("The file; its ending says which kind: .svg, .png or .pdf")]
        public required string To { get; init; }

        [CommandOption("--plan <PLAN>")]
        [Description("Which plan; the one that holds unless told")]
        public string? Plan { get; init; }

        [CommandOption("--width <PIXELS>")]
        [Description("400 to 4000; 1400 unless told")]
        public int WidthPx { get; init; }
    }
}
