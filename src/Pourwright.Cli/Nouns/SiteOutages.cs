using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright site close</c>, <c>outages</c> and <c>reopen</c>.</summary>
internal static class SiteOutages
{
    public static void Register(Noun noun)
    {
        noun.Verb<Close>("close", "Says that a site, a station or a bench is out of use for a time", CloseAsync,
            "site", "close", "north", "--from", "2026-12-24", "--to", "2026-12-26", "--because", "Holidays");
        noun.Verb<StudioSettings>("outages", "Lists what is out of use at a site, and when", ListAsync);
        noun.Verb<One>("reopen", "Takes an outage back", ReopenAsync, "site", "reopen", "north/outage-7k3f-9qtm");
    }

    public static IRenderable Card(Outage outage, SiteClock clock) => Sheets.Card($"Outage {ResourceNames.Brief(outage.Name)}",
        ("Out of use", What(outage)), ("From", clock.AtAndIn(outage.StartTime, outage.Name)), ("Until", clock.At(outage.EndTime, outage.Name)),
        ("Because", outage.Reason), ("Pieces", outage.Station == "" && outage.Bench == "" ? "go on curing" : null));

    private static string What(Outage outage) => outage switch
    {
        { Station: not "" } => $"station {ResourceNames.Brief(outage.Station)}",
        { Bench: not "" } => $"bench {ResourceNames.Brief(outage.Bench)}",
        _ => "the whole site",
    };

    private static async Task CloseAsync(Desk desk, Close s)
    {
        var site = desk.Names.Site(s.Id);
        var names = new ResourceNames(desk.Names.Studio, site);
        var (start, end) = await WrittenSpan.ReadAsync(desk, s.From, s.To, site);
        var request = new CreateOutageRequest
        {
            Parent = site,
            Outage = new()
            {
                Station = s.Station is null ? "" : names.Station(s.Station),
                Bench = s.Bench is null ? "" : names.Bench(s.Bench),
                StartTime = start,
                EndTime = end,
                Reason = s.Because,
            },
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Sites.CreateOutageAsync(request, desk.Call), Card);
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListOutagesRequest { Parent = await desk.SiteAsync() }, desk.Server.Sites.ListOutagesAsync, desk.Stop),
        (all, clock) => Sheets.Rows("Nothing is out of use.", ["Outage", "Out of use", "From", "Until", "Because"],
            all.Outages.OrderBy(outage => outage.StartTime.ToDateTimeOffset()).Select(outage => new Cell[]
            {
                ResourceNames.Brief(outage.Name), What(outage), clock.At(outage.StartTime, outage.Name), clock.At(outage.EndTime, outage.Name), outage.Reason,
            })));

    private static async Task ReopenAsync(Desk desk, One s)
    {
        var name = desk.Names.Outage(s.Id);
        await SiteRooms.GoneAsync(desk, await desk.Server.Sites.DeleteOutageAsync(new() { Name = name, RequestId = s.RequestId }, desk.Call), $"Outage {ResourceNames.Brief(name)}");
    }

    private sealed class Close : WriteSettings
    {
        [CommandArgument(0, "<site>")]
        public required string Id { get; init; }

        [CommandOption("--from <TIME>", true)]
        [Description("A day, for example 2026-12-24, or a time, for example 'tomorrow 09:00'")]
        public required string From { get; init; }

        [CommandOption("--to <TIME>")]
        [Description("The last day, which counts, or a time; the same day unless told")]
        public string? To { get; init; }

        [CommandOption("--because <REASON>", true)]
        [Description("For the people whose class it moves")]
        public required string Because { get; init; }

        [CommandOption("--station <STATION>")]
        [Description("Only this station")]
        public string? Station { get; init; }

        [CommandOption("--bench <BENCH>")]
        [Description("Only this bench")]
        public string? Bench { get; init; }
    }

    private sealed class One : WriteSettings
    {
        [CommandArgument(0, "<outage>")]
        [Description("SITE/OUTAGE, as site outages lists it")]
        public required string Id { get; init; }
    }
}
