using System.ComponentModel;
using System.Globalization;
using Google.Type;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright lot ...</c></summary>
public static class LotNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("What a supplier made in one go, of one part");
        noun.Verb<Receive>("receive", "Takes a lot in, with its containers", ReceiveAsync,
            "lot", "receive", "lot-a1", "--part", "a", "--resin", "deep", "--code", "A-2291", "--can", "can-a1=5kg", "--can", "can-a2=5kg");
        ScanVerb.Register(noun);
        noun.Verb<StudioSettings>("list", "Lists the lots", ListAsync);
        noun.Verb<One>("show", "Shows a lot", ShowAsync);
        noun.Verb<WithReason>("hold", "Stops the use of a lot at every site", HoldAsync,
            "lot", "hold", "lot-a1", "soft pieces in two classes");
        noun.Verb<WithReason>("release", "Lets go a lot that a person held", ReleaseAsync);
        noun.Verb<Trace>("trace", "Everything made from a lot, and where every gram went", TraceAsync,
            "lot", "trace", "lot-a1", "--pdf", "lot-a1.pdf");
        noun.Verb<One>("reconcile", "Whether what came in is found again: received = used + left + waste", (desk, s) =>
            RecallNoun.ReconcileAsync(desk, desk.Names.Lot(s.Id)), "lot", "reconcile", "lot-a1");
    }

    public static IRenderable Card(Lot lot, SiteClock clock) => Sheets.Stack([Facts(lot, clock), .. Cautions.Show(lot.Cautions)]);

    private static IRenderable Facts(Lot lot, SiteClock clock) => Sheets.Card($"Lot {ResourceNames.Brief(lot.Name)}",
        ("State", State(lot)),
        ("Why held", lot.HoldReason),
        ("Part", Words.Of(lot.Part).ToUpperInvariant()),
        ("Resin system", ResourceNames.Brief(lot.ResinSystem)),
        ("Content", lot.Content),
        ("Supplier", lot.Supplier),
        ("Code on the can", lot.SupplierLotCode),
        ("GTIN", lot.Gtin),
        ("Received", $"{new Mass(lot.ReceivedMassMg)}, {clock.At(lot.ReceiveTime, null)}"),
        ("Refused from", Day(lot.ExpiryDate)));

    public static IRenderable Rows(ListLotsResponse all) => Sheets.Rows("No lot yet.",
        ["Lot", "Part", "Resin", "State", "Received", "Refused from", "Code"],
        all.Lots.Select(lot => new Cell[]
        {
            ResourceNames.Brief(lot.Name), Words.Of(lot.Part).ToUpperInvariant(), ResourceNames.Brief(lot.ResinSystem), State(lot),
            new Mass(lot.ReceivedMassMg).ToString(), Day(lot.ExpiryDate), lot.SupplierLotCode,
        }));

    private static Cell State(Lot lot) => lot.State switch
    {
        Lot.Types.State.Held => new("HELD", Tone.Bad),
        Lot.Types.State.Released => new("RELEASED", Tone.Good),
        _ => new(""),
    };

    internal static string? Day(Date? day) =>
        day is null ? null : new DateOnly(day.Year, day.Month, day.Day).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static async Task ReceiveAsync(Desk desk, Receive s)
    {
        var request = new ReceiveLotRequest
        {
            Parent = desk.Names.Studio,
            Lot = await LotOfAsync(desk, s, s.Part, s.Code),
            LotId = s.Id ?? "",
            Containers = { await ContainersAsync(desk, s.Cans) },
            RequestId = s.RequestId,
        };
        await PrintAsync(desk, await desk.Server.Lots.ReceiveLotAsync(request, desk.Call));
    }

    internal static async Task<Lot> LotOfAsync(Desk desk, Delivery s, Part part, string code) => new()
    {
        Part = part,
        ResinSystem = s.Resin is null ? "" : desk.Names.ResinSystem(s.Resin),
        Supplier = s.Supplier ?? "",
        SupplierLotCode = code,
        Content = s.Content ?? "",
        ExpiryDate = WrittenDay.ParseOrNone(s.Expires),
        ReceiveTime = await desk.WhenAsync(s.At, WhenSense.Happened),
    };

    internal static async Task<IEnumerable<ContainerReceipt>> ContainersAsync(Desk desk, string[] cans)
    {
        var site = await desk.SiteAsync();
        return cans.Select(text => text.Contains('=', StringComparison.Ordinal) ? Pairs.NameAndMass(text, "can-a1=5kg") : ("", Mass.Parse(text)))
            .Select(can => new ContainerReceipt { ContainerId = can.Item1, Site = site, ReceivedMassMg = can.Item2.Mg });
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListLotsRequest { Parent = desk.Names.Studio }, desk.Server.Lots.ListLotsAsync, desk.Stop), (all, _) => Rows(all));

    private static async Task ShowAsync(Desk desk, One s) =>
        await PrintAsync(desk, await desk.Server.Lots.GetLotAsync(new() { Name = desk.Names.Lot(s.Id) }, desk.Call));

    internal static async Task PrintAsync(Desk desk, Lot lot)
    {
        await desk.PrintAsync(lot, Card);
        if (!desk.Output.Json)
            await desk.PrintAsync(await ContainersOfAsync(desk, lot.Name), ContainerNoun.Rows);
    }

    private static Task<ListContainersResponse> ContainersOfAsync(Desk desk, string lot) => Server.ListAsync(
        new ListContainersRequest { Parent = desk.Names.Studio, Lot = lot, ShowSpent = true }, desk.Server.Lots.ListContainersAsync, desk.Stop);

    private static async Task HoldAsync(Desk desk, WithReason s) => await desk.PrintAsync(
        await desk.Server.Lots.HoldLotAsync(new() { Name = desk.Names.Lot(s.Id), Reason = s.Reason, RequestId = s.RequestId }, desk.Call), Card);

    private static async Task ReleaseAsync(Desk desk, WithReason s) => await desk.PrintAsync(
        await desk.Server.Lots.ReleaseLotAsync(new() { Name = desk.Names.Lot(s.Id), Reason = s.Reason, RequestId = s.RequestId }, desk.Call), Card);

    private static async Task TraceAsync(Desk desk, Trace s)
    {
        var name = desk.Names.Lot(s.Id);
        if (desk.Output.Json)
            desk.Output.Message(await desk.Server.Traces.TraceLotAsync(new() { Name = name }, desk.Call));
        if (!desk.Output.Json || s.Pdf is not null)
            await TraceOutput.PrintAsync(desk, name, s.Pdf);
    }

    private sealed class Receive : Delivery
    {
        [CommandArgument(0, "[lot]")]
        [Description("Its id; made up where left out")]
        public string? Id { get; init; }

        [CommandOption("-p|--part <PART>", true)]
        [Description("a (resin), b (hardener) or pigment")]
        [TypeConverter(typeof(WordConverter<Part>))]
        public required Part Part { get; init; }

        [CommandOption("--code <CODE>", true)]
        [Description("The lot code printed on the can")]
        public required string Code { get; init; }

        [CommandOption("--can <NAME=MASS>", true)]
        [Description("A container and its net content, for example can-a1=5kg, or 5kg for a made-up name; repeat for more")]
        public required string[] Cans { get; init; }
    }

    /// <summary>What is said of a lot that comes in, with and without its label.</summary>
    internal class Delivery : WriteSettings
    {
        [CommandOption("-r|--resin <RESIN>")]
        [Description("The resin system; not for pigment")]
        public string? Resin { get; init; }

        [CommandOption("--supplier <NAME>")]
        public string? Supplier { get; init; }

        [CommandOption("--content <TEXT>")]
        [Description("What is in it where the resin system does not say, for example the pigment's code")]
        public string? Content { get; init; }

        [CommandOption("--expires <DAY>")]
        [Description("First day on which it is refused, for example 2027-05-01")]
        public string? Expires { get; init; }

        [CommandOption("--at <TIME>")]
        [Description("When it came in; now unless told")]
        public string? At { get; init; }
    }

    private class One : StudioSettings
    {
        [CommandArgument(0, "<lot>")]
        public required string Id { get; init; }
    }

    private sealed class Trace : One
    {
        [CommandOption("--pdf <FILE>")]
        [Description("Write the trace into a PDF file")]
        public string? Pdf { get; init; }
    }

    private sealed class WithReason : WriteSettings
    {
        [CommandArgument(0, "<lot>")]
        public required string Id { get; init; }

        [CommandArgument(1, "<reason>")]
        [Description("Why; in quotes")]
        public required string Reason { get; init; }
    }
}
