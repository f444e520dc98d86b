using System.ComponentModel;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright site travel</c>.</summary>
internal static class SiteTravel
{
    public static void Register(Noun noun) =>
        noun.Verb<Travel>("travel", "Says how long the way between two sites takes; alone, lists all ways", TravelAsync, "site", "travel", "north", "south", "45min");

    private static IRenderable Rows(IEnumerable<TravelTime> ways) => Sheets.Rows("No way is known yet: nobody goes from one site to another.",
        ["From", "To", "Way"], ways.Select(way => new Cell[] { ResourceNames.Brief(way.SiteA), ResourceNames.Brief(way.SiteB), Way(way) }));

    private static string Way(TravelTime way) => way.Duration is { } span ? new Span(span.ToTimeSpan()).ToString() : "nobody goes it";

    private static async Task TravelAsync(Desk desk, Travel s)
    {
        if (s.From is null)
            await desk.PrintAsync(
                await Server.ListAsync(new ListTravelTimesRequest { Parent = desk.Names.Studio }, desk.Server.Sites.ListTravelTimesAsync, desk.Stop),
                (all, _) => Rows(all.TravelTimes));
        else
            await desk.PrintAsync(await desk.Server.Sites.SetTravelTimeAsync(Said(desk, s.From, s), desk.Call), (way, _) => Rows([way]));
    }

    private static SetTravelTimeRequest Said(Desk desk, string from, Travel s) => s.To is null || (s.Way is null) != s.None
        ? throw new UsageException("Write both sites and the way between them, such as north south 45min, or --none to take it back.")
        : new()
        {
            Parent = desk.Names.Studio,
            SiteA = desk.Names.Site(from),
            SiteB = desk.Names.Site(s.To),
            Duration = s.Way is { } way ? Duration.FromTimeSpan(way.Length) : null,
            RequestId = s.RequestId,
        };

    private sealed class Travel : WriteSettings
    {
        [CommandArgument(0, "[from]")]
        public string? From { get; init; }

        [CommandArgument(1, "[to]")]
        public string? To { get; init; }

        [CommandArgument(2, "[way]")]
        [Description("Door to door, either way, for example 45min")]
        public Span? Way { get; init; }

        [CommandOption("--none")]
        [Description("Takes back what was said: nobody goes that way")]
        public bool None { get; init; }
    }
}
