using System.ComponentModel;
using System.Globalization;
using Grpc.Core;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright mix ...</c></summary>
public static class MixNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Batches, weighed and stirred");
        noun.Verb<Record>("record", "Records a mix and draws it from its containers", RecordAsync,
            "mix", "record", "--resin", "deep", "--draw", "can-a1=1.39kg", "--draw", "can-b1=580g", "--by", "Ana");
        noun.Verb<StudioSettings>("list", "Lists the mixes", ListAsync);
        noun.Verb<One>("show", "Shows a mix: its ratio, what is left, until when it can be poured", ShowAsync);
        noun.Verb<Discard>("discard", "Records what was left in the vessel as waste", DiscardAsync,
            "mix", "discard", "mix-1", "all");
        noun.Verb<Correct>("correct", "Says what a mix really drew; its record stays as evidence", CorrectAsync,
            "mix", "correct", "mix-3", "--draw", "can-a1=1.2kg", "--draw", "can-b1=can-b2", "--by", "Ana", "--why", "the can beside it");
        noun.Verb<Undo>("undo", "Says that a mix never happened, or was recorded twice", UndoAsync,
            "mix", "undo", "mix-3", "--by", "Ana", "--why", "recorded twice");
        noun.Verb<One>("reconcile", "Whether what was weighed in is found again", (desk, s) =>
            RecallNoun.ReconcileAsync(desk, desk.Names.Mix(s.Id)), "mix", "reconcile", "mix-1");
    }

    /// <summary>The verdict to be read from across the room, then the facts.</summary>
    public static IRenderable Card(Mix mix, ResinSystem resin, SiteClock clock, string heading) => Sheets.Stack(
    [
        new Cell(heading, Tone.Strong).Render(),
        Sheets.Large(Verdict(mix, resin)),
        new Cell(Deviation(mix, resin), Verdict(mix, resin).Tone).Render(),
        Sheets.Card("",
            ("Left to pour", new Mass(mix.RemainingMassMg).ToString()),
            ("Pot life ends", PotLife(mix, clock)),
            ("Draws", string.Join("\n", mix.Draws.Select(draw => $"{new Mass(draw.MassMg)} from {ResourceNames.Brief(draw.Container)}"))),
            ("A, B, pigment", $"{new Mass(mix.AMassMg)}, {new Mass(mix.BMassMg)}, {new Mass(mix.PigmentMassMg)}"),
            ("Mixed", $"{clock.At(mix.MixTime, mix.Site)} by {mix.Mixer}"),
            ("Scale", mix.Scale),
            ("Batch temperature", mix.HasTemperatureCelsius ? new Temperature(mix.TemperatureCelsius).ToString() : null),
            ("Known deviation", mix.DeviationReason)),
        .. Cautions.Show(mix.Cautions),
        Corrections.Show(mix.Corrections, clock, mix.Site),
    ]);

    public static IRenderable Rows(ListMixesResponse all, SiteClock clock) => Sheets.Rows("No mix yet.",
        ["Mix", "Resin", "B per 100 A", "Off target", "Left", "Mixed", "By"],
        all.Mixes.Select(mix => new Cell[]
        {
            ResourceNames.Brief(mix.Name), ResourceNames.Brief(mix.ResinSystem),
            Number(mix.HardenerPartsPer100Resin), Signed(mix.RatioDeviationPercent),
            new Mass(mix.RemainingMassMg).ToString(), clock.At(mix.MixTime, mix.Site), mix.Mixer,
        }));

    private static Cell Verdict(Mix mix, ResinSystem resin) =>
        Math.Abs(mix.RatioDeviationPercent) <= resin.RatioTolerancePercent ? new("RATIO OK", Tone.Good) : new("RATIO OFF", Tone.Bad);

    private static string Deviation(Mix mix, ResinSystem resin)
    {
        var what = Math.Round(mix.RatioDeviationPercent, 1) switch { > 0 => "too much hardener", < 0 => "too little hardener", _ => "on target" };
        return $"{Number(mix.HardenerPartsPer100Resin)} B to 100 A by {Words.Of(resin.Basis)}: {Signed(mix.RatioDeviationPercent)}, {what}"
            + $" (target {Number(resin.HardenerPartsPer100Resin)}, allowed ±{Number(resin.RatioTolerancePercent)} %)";
    }

    private static Cell PotLife(Mix mix, SiteClock clock) => mix.PotLifeEndTime is not { } end ? new("not on the data sheet")
        : end.ToDateTimeOffset() < clock.Now ? new($"OVER: {clock.AtAndIn(end, mix.Site)}", Tone.Bad)
        : new($"{clock.AtAndIn(end, mix.Site)}; a larger or warmer batch heats sooner", Tone.Strong);

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);

    private static string Signed(double percent) => percent.ToString("+0.0;-0.0;0.0", CultureInfo.InvariantCulture) + " %";

    private static async Task RecordAsync(Desk desk, Record s)
    {
        var request = new RecordMixRequest
        {
            Parent = desk.Names.Studio,
            Mix = await FilledAsync(desk, s),
            MixId = s.Id ?? "",
            RequestId = s.RequestId,
            ValidateOnly = s.Check,
        };
        try
        {
            var mix = await desk.Server.Mixes.RecordMixAsync(request, desk.Call);
            await PrintAsync(desk, mix, s.Check ? "Checked only, nothing was drawn" : $"Mix {ResourceNames.Brief(mix.Name)}");
        }
        catch (RpcException refusal) when (ServerRefusal.Reason(refusal) == "RATIO_OUT_OF_TOLERANCE" && !desk.Output.Json)
        {
            desk.Output.Show(Sheets.Large(new("RATIO OFF", Tone.Bad)));
            throw;
        }
    }

    private static async Task<Mix> FilledAsync(Desk desk, Record s)
    {
        var mix = new Mix
        {
            Site = await desk.SiteAsync(),
            ResinSystem = desk.Names.ResinSystem(s.Resin),
            Draws =
            {
                s.Draws.Select(text => Pairs.NameAndMass(text, "can-a1=1.39kg"))
                    .Select(draw => new Mix.Types.Draw { Container = desk.Names.Container(draw.Name), MassMg = draw.Mass.Mg }),
            },
            MixTime = await desk.WhenAsync(s.At, WhenSense.Happened, desk.SiteAsync),
            Mixer = s.Person,
            Scale = s.Scale ?? "",
            DeviationReason = s.Deviation ?? "",
        };
        if (s.Temperature is { } temperature)
            mix.TemperatureCelsius = temperature.Celsius;
        return mix;
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListMixesRequest { Parent = desk.Names.Studio }, desk.Server.Mixes.ListMixesAsync, desk.Stop), Rows);

    private static async Task ShowAsync(Desk desk, One s)
    {
        var mix = await desk.Server.Mixes.GetMixAsync(new() { Name = desk.Names.Mix(s.Id) }, desk.Call);
        await PrintAsync(desk, mix, $"Mix {ResourceNames.Brief(mix.Name)}");
    }

    private static async Task DiscardAsync(Desk desk, Discard s)
    {
        var name = desk.Names.Mix(s.Id);
        var mass = s.Mass.Equals("all", StringComparison.OrdinalIgnoreCase)
            ? (await desk.Server.Mixes.GetMixAsync(new() { Name = name }, desk.Call)).RemainingMassMg
            : Mass.Parse(s.Mass).Mg;
        if (mass == 0)
            throw new UsageException($"Nothing is left of {s.Id}.");
        var mix = await desk.Server.Mixes.DiscardMixAsync(new() { Name = name, MassMg = mass, RequestId = s.RequestId }, desk.Call);
        await PrintAsync(desk, mix, $"Mix {ResourceNames.Brief(mix.Name)}: {new Mass(mass)} recorded as waste");
        desk.Output.Say(new("Leftovers heat by themselves: shallow, watched, outdoors, never into a bin before they are cold and hard.", Tone.Wait));
    }

    private static async Task CorrectAsync(Desk desk, Correct s)
    {
        var request = new CorrectMixRequest
        {
            Name = desk.Names.Mix(s.Id), Kind = Correction.Types.Kind.IncorrectData, Draws = { s.Draws.Select(draw => Right(desk, draw)) },
            Person = s.Person, Reason = s.Why, ValidateOnly = s.Ask, RequestId = s.RequestId,
        };
        var mix = await desk.Server.Mixes.CorrectMixAsync(request, desk.Call);
        await PrintAsync(desk, mix, s.Ask ? "WOULD BE ACCEPTED; nothing was recorded" : $"CORRECTED: mix {ResourceNames.Brief(mix.Name)}");
    }

    /// <summary><c>can-a1=1.2kg</c>, <c>can-a1=can-a2</c> or <c>can-a1=can-a2:1.2kg</c>.</summary>
    private static CorrectMixRequest.Types.RightDraw Right(Desk desk, string text)
    {
        if (text.Split('=') is not [var recorded, var right])
            throw new UsageException($"'{text}' is not CONTAINER=MASS, CONTAINER=CONTAINER or CONTAINER=CONTAINER:MASS: write can-a1=1.2kg, can-a1=can-a2 or can-a1=can-a2:1.2kg.");
        var draw = new CorrectMixRequest.Types.RightDraw { Container = desk.Names.Container(recorded) };
        if (char.IsAsciiDigit(right.FirstOrDefault()))
            draw.MassMg = Mass.Parse(right).Mg;
        else if (right.Split(':') is [var container, var mass])
            (draw.RightContainer, draw.MassMg) = (desk.Names.Container(container), Mass.Parse(mass).Mg);
        else
            draw.RightContainer = desk.Names.Container(right);
        return draw;
    }

    private static async Task UndoAsync(Desk desk, Undo s)
    {
        var request = new CorrectMixRequest
        {
            Name = desk.Names.Mix(s.Id), Kind = Correction.Types.Kind.DidNotOccur,
            Person = s.Person, Reason = s.Why, ValidateOnly = s.Ask, RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Mixes.CorrectMixAsync(request, desk.Call), (mix, clock) => Sheets.Stack(
        [
            new Cell(s.Ask ? "WOULD BE ACCEPTED; nothing was recorded" : $"UNDONE: mix {ResourceNames.Brief(mix.Name)} did not occur; its containers hold it again", Tone.Strong).Render(),
            Corrections.Show(mix.Corrections, clock, mix.Site),
        ]));
    }

    private static async Task PrintAsync(Desk desk, Mix mix, string heading)
    {
        var resin = desk.Output.Json ? new() : await desk.Server.Resins.GetResinSystemAsync(new() { Name = mix.ResinSystem }, desk.Call);
        await desk.PrintAsync(mix, (answer, clock) => Card(answer, resin, clock, heading));
    }

    private sealed class Record : PersonSettings
    {
        [CommandArgument(0, "[mix]")]
        [Description("Its id; made up where left out")]
        public string? Id { get; init; }

        [CommandOption("-r|--resin <RESIN>", true)]
        [Description("Whose ratio and limits apply")]
        public required string Resin { get; init; }

        [CommandOption("-d|--draw <CONTAINER=MASS>", true)]
        [Description("What went in, for example can-a1=1.39kg; repeat for each container")]
        public required string[] Draws { get; init; }

        [CommandOption("--check")]
        [Description("Ask first: would this be accepted? Nothing is kept")]
        public bool Check { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When the parts met; now unless told. The pot life counts from here")]
        public string? At { get; init; }

        [CommandOption("--scale <SCALE>")]
        [Description("Which scale weighed it")]
        public string? Scale { get; init; }

        [CommandOption("-t|--temp <DEGREES>")]
        [Description("Temperature of the stirred batch, for example 22C")]
        public Temperature? Temperature { get; init; }

        [CommandOption("--deviation <REASON>")]
        [Description("Records a batch known to be off all the same, and why: what was poured must not go missing")]
        public string? Deviation { get; init; }
    }

    private sealed class Correct : CorrectSettings
    {
        [CommandArgument(0, "<mix>")]
        public required string Id { get; init; }

        [CommandOption("-d|--draw <CONTAINER=RIGHT>", true)]
        [Description("The draw as recorded and what it really was: can-a1=1.2kg, can-a1=can-a2 or can-a1=can-a2:1.2kg; repeat for each draw that was otherwise")]
        public required string[] Draws { get; init; }
    }

    private sealed class Undo : CorrectSettings
    {
        [CommandArgument(0, "<mix>")]
        public required string Id { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<mix>")]
        public required string Id { get; init; }
    }

    private sealed class Discard : WriteSettings
    {
        [CommandArgument(0, "<mix>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<mass>")]
        [Description("How much, for example 120g, or all")]
        public required string Mass { get; init; }
    }
}
