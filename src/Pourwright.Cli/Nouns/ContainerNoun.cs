using System.ComponentModel;
using Grpc.Core;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Container = Pourwright.V1.Container;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright container ...</c></summary>
public static class ContainerNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Cans, jugs and tanks: what is traced");
        noun.Verb<Filter>("list", "Lists the containers, first to expire first", ListAsync);
        noun.Verb<One>("show", "Shows a container", ShowAsync);
        noun.Verb<Open>("open", "Opens a container: its opened shelf life begins", OpenAsync, "container", "open", "can-a1");
        noun.Verb<Decant>("decant", "Fills a new container from this one", DecantAsync,
            "container", "decant", "can-a1", "800g", "jug-1");
        noun.Verb<TopUp>("top-up", "Pours some of another container into this one", TopUpAsync,
            "container", "top-up", "jug-1", "200g", "--from", "can-a2");
        noun.Verb<Weigh>("weigh", "Takes what the scale says is left as the balance", WeighAsync,
            "container", "weigh", "can-a1", "1.24kg");
        noun.Verb<One>("reconcile", "Whether what was filled in is found again", (desk, s) =>
            RecallNoun.ReconcileAsync(desk, desk.Names.Container(s.Id)), "container", "reconcile", "can-a1");
        noun.Verb<Move>("move", "Takes a container to another site", MoveAsync, "container", "move", "can-a1", "south");
        noun.Verb<WithReason>("discard", "Throws away what is left", DiscardAsync);
        noun.Verb<WithReason>("hold", "Stops the use of one container", HoldAsync);
        noun.Verb<WithReason>("release", "Lets go a container that a person held", ReleaseAsync);
    }

    public static IRenderable Card(Container container, SiteClock clock) => Sheets.Card($"Container {ResourceNames.Brief(container.Name)}",
        ("State", State(container, clock)),
        ("Why held", container.HoldReason),
        ("Part", Words.Of(container.Part).ToUpperInvariant()),
        ("Resin system", ResourceNames.Brief(container.ResinSystem)),
        ("Lots", Lots(container)),
        ("Left by the book", new Mass(container.RemainingMassMg).ToString()),
        ("Came with", new Mass(container.ReceivedMassMg).ToString()),
        ("Site", ResourceNames.Brief(container.Site)),
        ("Opened", clock.At(container.OpenTime, container.Site)),
        ("Refused from", clock.AtAndIn(container.ExpireTime, container.Site)));

    /// <summary>First to expire first, so that what goes off soonest is used first.</summary>
    public static IRenderable Rows(ListContainersResponse all, SiteClock clock) => Sheets.Rows("No container.",
        ["Container", "Part", "State", "Left", "Lots", "Site", "Refused from"],
        all.Containers.OrderBy(c => c.ExpireTime?.ToDateTimeOffset() ?? DateTimeOffset.MaxValue).Select(c => new Cell[]
        {
            ResourceNames.Brief(c.Name), Words.Of(c.Part).ToUpperInvariant(), State(c, clock), new Mass(c.RemainingMassMg).ToString(),
            Lots(c), ResourceNames.Brief(c.Site), clock.AtAndIn(c.ExpireTime, c.Site),
        }));

    private static Cell State(Container container, SiteClock clock) => container switch
    {
        { Held: true } => new("HELD", Tone.Bad),
        { State: Container.Types.State.Spent } => new("SPENT", Tone.Faint),
        { ExpireTime: { } end } when end.ToDateTimeOffset() <= clock.Now => new("EXPIRED", Tone.Bad),
        _ => new(Words.Of(container.State).ToUpperInvariant(), Tone.Good),
    };

    private static string Lots(Container container) => string.Join(", ", container.Lots.Select(ResourceNames.Brief));

    private static async Task ListAsync(Desk desk, Filter s)
    {
        var request = new ListContainersRequest
        {
            Parent = desk.Names.Studio,
            Site = desk.SiteFilter,
            Lot = s.Lot is null ? "" : desk.Names.Lot(s.Lot),
            ShowSpent = s.Spent,
        };
        await desk.PrintAsync(await Server.ListAsync(request, desk.Server.Lots.ListContainersAsync, desk.Stop), Rows);
    }

    private static Task ShowAsync(Desk desk, One s) =>
        ShowAsync(desk, desk.Server.Lots.GetContainerAsync(new() { Name = desk.Names.Container(s.Id) }, desk.Call));

    private static async Task OpenAsync(Desk desk, Open s) => await ShowAsync(desk, desk.Server.Lots.OpenContainerAsync(new()
    {
        Name = desk.Names.Container(s.Id),
        OpenTime = await desk.WhenAsync(s.At, WhenSense.Happened),
        RequestId = s.RequestId,
    }, desk.Call));

    private static Task DecantAsync(Desk desk, Decant s) => ShowAsync(desk, desk.Server.Lots.DecantContainerAsync(new()
    {
        Name = desk.Names.Container(s.Id),
        ContainerId = s.New ?? "",
        MassMg = s.Mass.Mg,
        RequestId = s.RequestId,
    }, desk.Call));

    private static Task TopUpAsync(Desk desk, TopUp s) => ShowAsync(desk, desk.Server.Lots.TopUpContainerAsync(new()
    {
        Name = desk.Names.Container(s.Id),
        Source = desk.Names.Container(s.From),
        MassMg = s.Mass.Mg,
        RequestId = s.RequestId,
    }, desk.Call));

    private static Task WeighAsync(Desk desk, Weigh s) => ShowAsync(desk, desk.Server.Lots.WeighBackContainerAsync(
        new() { Name = desk.Names.Container(s.Id), RemainingMassMg = s.Mass.Mg, RequestId = s.RequestId }, desk.Call));

    private static Task MoveAsync(Desk desk, Move s) => ShowAsync(desk, desk.Server.Lots.MoveContainerAsync(
        new() { Name = desk.Names.Container(s.Id), Site = desk.Names.Site(s.To), RequestId = s.RequestId }, desk.Call));

    private static Task DiscardAsync(Desk desk, WithReason s) => ShowAsync(desk, desk.Server.Lots.DiscardContainerAsync(
        new() { Name = desk.Names.Container(s.Id), Reason = s.Reason, RequestId = s.RequestId }, desk.Call));

    private static Task HoldAsync(Desk desk, WithReason s) => ShowAsync(desk, desk.Server.Lots.HoldContainerAsync(
        new() { Name = desk.Names.Container(s.Id), Reason = s.Reason, RequestId = s.RequestId }, desk.Call));

    private static Task ReleaseAsync(Desk desk, WithReason s) => ShowAsync(desk, desk.Server.Lots.ReleaseContainerAsync(
        new() { Name = desk.Names.Container(s.Id), Reason = s.Reason, RequestId = s.RequestId }, desk.Call));

    private static async Task ShowAsync(Desk desk, AsyncUnaryCall<Container> answer) => await desk.PrintAsync(await answer, Card);

    private sealed class Filter : StudioSettings
    {
        [CommandOption("--lot <LOT>")]
        [Description("Only those that hold some of this lot")]
        public string? Lot { get; init; }

        [CommandOption("--spent")]
        [Description("Spent ones too")]
        public bool Spent { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<container>")]
        public required string Id { get; init; }
    }

    private class WriteOne : WriteSettings
    {
        [CommandArgument(0, "<container>")]
        public required string Id { get; init; }
    }

    private sealed class Open : WriteOne
    {
        [CommandOption("--at <TIME>")]
        [Description("When; now unless told")]
        public string? At { get; init; }
    }

    private sealed class Decant : WriteOne
    {
        [CommandArgument(1, "<mass>")]
        [Description("How much, for example 800g")]
        public required Mass Mass { get; init; }

        [CommandArgument(2, "[new]")]
        [Description("The code on the new container's label; made up where left out")]
        public string? New { get; init; }
    }

    private sealed class TopUp : WriteOne
    {
        [CommandArgument(1, "<mass>")]
        [Description("How much, for example 200g")]
        public required Mass Mass { get; init; }

        [CommandOption("--from <CONTAINER>", true)]
        [Description("The container poured from")]
        public required string From { get; init; }
    }

    private sealed class Weigh : WriteOne
    {
        [CommandArgument(1, "<mass>")]
        [Description("Net content by the scale, for example 1.24kg")]
        public required Mass Mass { get; init; }
    }

    private sealed class Move : WriteOne
    {
        [CommandArgument(1, "<to>")]
        [Description("The site it goes to")]
        public required string To { get; init; }
    }

    private sealed class WithReason : WriteOne
    {
        [CommandArgument(1, "<reason>")]
        [Description("Why; in quotes")]
        public required string Reason { get; init; }
    }
}
