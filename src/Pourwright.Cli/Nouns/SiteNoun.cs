using System.ComponentModel;
using System.Globalization;
using System.Text.RegularExpressions;
using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright site ...</c></summary>
public static partial class SiteNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Places where classes are taught: rooms, stations, closures, ways");
        noun.Verb<Create>("create", "Creates a site", CreateAsync,
            "site", "create", "north", "--name", "North Hall", "--zone", "Europe/Lisbon", "--contact", "instructor=Ana <ana@example.org>");
        noun.Verb<Change>("change", "Changes what is given, leaves the rest", ChangeAsync,
            "site", "change", "north", "--quiet", "20:00-08:00");
        noun.Verb<StudioSettings>("list", "Lists the sites", ListAsync);
        noun.Verb<One>("show", "Shows a site with its contacts", ShowAsync);
        SiteRooms.Register(noun);
        SiteOutages.Register(noun);
        SiteTravel.Register(noun);
        SiteScales.Register(noun);
    }

    public static IRenderable Card(V1.Site site) => Sheets.Card($"Site {ResourceNames.Brief(site.Name)}",
    [
        ("Name", site.DisplayName),
        ("Time zone", site.TimeZone),
        ("Open", site.TeachingHours is null ? null : WeekdayWords.Of(site.TeachingHours.OpeningDays)),
        ("Taught", Hours(site.TeachingHours)),
        ("Quiet hours", site.QuietHoursStart is null ? null : $"{Clock(site.QuietHoursStart)} to {Clock(site.QuietHoursEnd)}"),
        ("Told again after a swing of", site.ReminderSwing is null ? null : new Span(site.ReminderSwing.ToTimeSpan()).ToString()),
        ("Dew-point margin", site.HasDewPointMarginCelsius ? new TemperatureDifference(site.DewPointMarginCelsius).ToString() : null),
        .. site.Contacts.Select(c => (Words.Of(c.Role), (Cell)string.Join("  ", new[] { c.DisplayName, c.Email, c.WebhookUri }.Where(t => t != "")))),
    ]);

    /// <summary>Reads <c>owner=Ana &lt;ana@example.org&gt; &lt;https://hook.example.org&gt;</c>: a role, a name, and where messages go.</summary>
    /// <exception cref="FormatException">No role or no name.</exception>
    public static Contact ReadContact(string text)
    {
        var match = ContactShape().Match(text);
        if (!match.Success)
            throw new FormatException($"'{text}' is not a contact: write ROLE=NAME <E-MAIL>, with a role of {Words.Choices<Contact.Types.Role>()}.");
        var routes = match.Groups["route"].Captures.Select(route => route.Value).ToLookup(route => route.Contains("://", StringComparison.Ordinal));
        return new()
        {
            Role = Words.Parse<Contact.Types.Role>(match.Groups["role"].Value),
            DisplayName = match.Groups["name"].Value,
            Email = routes[false].FirstOrDefault(""),
            WebhookUri = routes[true].FirstOrDefault(""),
        };
    }

    /// <summary>Reads <c>21:00-07:00</c>.</summary>
    /// <exception cref="FormatException">Not two clock times.</exception>
    public static (TimeOfDay Start, TimeOfDay End) ReadQuietHours(string text) =>
        text.Split('-') is [var start, var end]
        && TimeOnly.TryParseExact(start.Trim(), "H:mm", out var from) && TimeOnly.TryParseExact(end.Trim(), "H:mm", out var to)
            ? (new() { Hours = from.Hour, Minutes = from.Minute }, new() { Hours = to.Hour, Minutes = to.Minute })
            : throw new FormatException($"'{text}' is not a span of the day: write 21:00-07:00.");

    /// <summary>Reads <c>09:00-13:00,14:00-18:00</c>: a morning and an afternoon.</summary>
    /// <exception cref="FormatException">Not two spans of the day.</exception>
    public static TeachingHours ReadHours(string text)
    {
        if (text.Split(',') is not [var morning, var afternoon])
            throw new FormatException($"'{text}' is not a morning and an afternoon: write 09:00-13:00,14:00-18:00.");
        var (first, second) = (ReadQuietHours(morning), ReadQuietHours(afternoon));
        return new() { MorningStart = first.Start, MorningEnd = first.End, AfternoonStart = second.Start, AfternoonEnd = second.End };
    }

    private static string? Hours(TeachingHours? hours) => hours is null ? null
        : $"{Clock(hours.MorningStart)} to {Clock(hours.MorningEnd)}, {Clock(hours.AfternoonStart)} to {Clock(hours.AfternoonEnd)}";

    private static string Clock(TimeOfDay? time) => string.Create(CultureInfo.InvariantCulture, $"{time?.Hours ?? 0:00}:{time?.Minutes ?? 0:00}");

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var request = new CreateSiteRequest { Parent = desk.Names.Studio, Site = Filled(s), SiteId = s.Id, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Sites.CreateSiteAsync(request, desk.Call), (site, _) => Card(site));
    }

    private static async Task ChangeAsync(Desk desk, Change s)
    {
        var site = Filled(s);
        site.Name = desk.Names.Site(s.Id);
        var request = new UpdateSiteRequest { Site = site, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Sites.UpdateSiteAsync(request, desk.Call), (changed, _) => Card(changed));
    }

    private static V1.Site Filled(Values s)
    {
        var site = new V1.Site { DisplayName = s.DisplayName ?? "", TimeZone = s.Zone ?? "", Contacts = { s.Contacts.Select(ReadContact) } };
        if (s.Quiet is { } quiet)
            (site.QuietHoursStart, site.QuietHoursEnd) = ReadQuietHours(quiet);
        if (s.Swing is { } swing)
            site.ReminderSwing = Duration.FromTimeSpan(swing.Length);
        if (s.DewPointMargin is { } margin)
            site.DewPointMarginCelsius = margin.Kelvin;
        if (s.Hours is not null || s.Days is not null)
            site.TeachingHours = s.Hours is { } hours ? ReadHours(hours) : new();
        if (s.Days is { } days)
            site.TeachingHours.OpeningDays.Add(WeekdayWords.Parse(days));
        return site;
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListSitesRequest { Parent = desk.Names.Studio }, desk.Server.Sites.ListSitesAsync, desk.Stop),
        (all, _) => Sheets.Rows("No site yet.", ["Site", "Name", "Time zone"],
            all.Sites.Select(site => new Cell[] { ResourceNames.Brief(site.Name), site.DisplayName, site.TimeZone })));

    private static async Task ShowAsync(Desk desk, One s)
    {
        var name = s.Id is { Length: > 0 } id ? desk.Names.Site(id) : await desk.SiteAsync();
        await desk.PrintAsync(await desk.Server.Sites.GetSiteAsync(new() { Name = name }, desk.Call), (site, _) => Card(site));
    }

    [GeneratedRegex(@"^\s*(?<role>[A-Za-z]+)\s*=\s*(?<name>[^<>]+?)\s*(<(?<route>[^<>]+)>\s*){0,2}$")]
    private static partial Regex ContactShape();

    private abstract class Values : WriteSettings
    {
        [CommandOption("-n|--name <NAME>")]
        [Description("What people call it")]
        public string? DisplayName { get; init; }

        [CommandOption("-z|--zone <ZONE>")]
        [Description("IANA time zone, for example Europe/Lisbon")]
        public string? Zone { get; init; }

        [CommandOption("-c|--contact <CONTACT>")]
        [Description("Whom reminders reach: 'owner=Ana <ana@example.org> <https://hook.example.org>'; repeat for more")]
        public string[] Contacts { get; init; } = [];

        [CommandOption("--days <DAYS>")]
        [Description("Days on which people may come in, for example mon-fri,sun; every day unless told")]
        public string? Days { get; init; }

        [CommandOption("--hours <MORNING,AFTERNOON>")]
        [Description("When classes may be taught; 09:00-13:00,14:00-18:00 unless told")]
        public string? Hours { get; init; }

        [CommandOption("--quiet <FROM-TO>")]
        [Description("No reminder but those of safety, for example 21:00-07:00")]
        public string? Quiet { get; init; }

        [CommandOption("--swing <SPAN>")]
        [Description("A ready time that moves by less is not told again, for example 2h")]
        public Span? Swing { get; init; }

        [CommandOption("--dew-point-margin <DEGREES>")]
        [Description("Warn where a surface comes closer to the dew point, for example 3C")]
        public TemperatureDifference? DewPointMargin { get; init; }
    }

    private sealed class Create : Values
    {
        [CommandArgument(0, "<site>")]
        [Description("Its id: lower-case letters, digits and hyphens")]
        public required string Id { get; init; }
    }

    private sealed class Change : Values
    {
        [CommandArgument(0, "<site>")]
        public required string Id { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "[site]")]
        public string? Id { get; init; }
    }
}
