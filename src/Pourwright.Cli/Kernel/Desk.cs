using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.V1;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Kernel;

/// <summary>Where one command works: the server, the names of its studio, its sites' clocks, and where answers go.</summary>
public sealed class Desk(Server server, Output output, StudioSettings settings, Terminal terminal, CancellationToken stop)
{
    private ListSitesResponse? _sites;
    private ResourceNames? _names;

    public Server Server { get; } = server;

    public Output Output { get; } = output;

    /// <summary>Ends when the user presses Ctrl+C.</summary>
    public CancellationToken Stop { get; } = stop;

    /// <summary>How the command ends where nothing refuses it.</summary>
    public int ExitCode { get; set; } = ExitCodes.Done;

    public CallOptions Call => new(cancellationToken: Stop);

    /// <summary>Names within the studio that is written, set, or the only one.</summary>
    public ResourceNames Names => _names ?? throw new InvalidOperationException("This command was registered without a studio.");

    public DateTimeOffset Now => terminal.Time.GetUtcNow();

    /// <summary>Finds the studio.</summary>
    /// <exception cref="UsageException">None is named and there is not exactly one.</exception>
    public async Task ChooseStudioAsync() =>
        _names = new(settings.StudioOrDefault is { } given ? ResourceNames.StudioOf(given) : await OnlyStudioAsync(), settings.SiteOrDefault);

    /// <summary>The site that is written, set, or the only one.</summary>
    /// <exception cref="UsageException">None is named and there is not exactly one.</exception>
    public async Task<string> SiteAsync() => settings.SiteOrDefault is { } given
        ? Names.Site(given)
        : (await SitesAsync()).Sites is [var only] ? only.Name
        : throw new UsageException("Which site? Write --site SITE, or set POURWRIGHT_SITE.");

    /// <summary>The site that is written or set, else nothing: for lists.</summary>
    public string SiteFilter => settings.SiteOrDefault is { } given ? Names.Site(given) : "";

    /// <summary>The site that is written, else nothing: where a site that is set would leave out what nobody misses, as in a sheet for others.</summary>
    public string WrittenSiteFilter => settings.Site is { } given ? Names.Site(given) : "";

    /// <summary>The sites' clocks; the sites are fetched once.</summary>
    public async Task<SiteClock> ClockAsync() => new(_names is null ? [] : (await SitesAsync()).Sites, Now);

    /// <summary>Reads a time that people wrote; nothing for no text and for <c>now</c>, which the server then fills in.</summary>
    /// <param name="text">What was written.</param>
    /// <param name="sense">Whether it was or will be.</param>
    /// <param name="site">Finds the site whose clock counts; asked only where a time is written.</param>
    public async Task<Timestamp?> WhenAsync(string? text, WhenSense sense, Func<Task<string>>? site = null)
    {
        if (text is null || text.Trim().Equals("now", StringComparison.OrdinalIgnoreCase))
            return null;
        var clock = await ClockAsync();
        var zone = clock.Common ?? clock.ZoneOf(site is null ? settings.SiteOrDefault is { } given ? Names.Site(given) : null : await site());
        return WrittenTime.Parse(text, zone, Now, sense)?.ToTimestamp();
    }

    /// <summary>As <see cref="WhenAsync"/> where the server takes nothing for no bound, and <c>now</c> must be one.</summary>
    public async Task<Timestamp?> BoundAsync(string? text, WhenSense sense, Func<Task<string>>? site = null) =>
        await WhenAsync(text, sense, site) ?? (text is null ? null : Now.ToTimestamp());

    /// <summary>Asks, and waits for a line; null where nobody answers or programs read.</summary>
    public async Task<string?> AskAsync(string question)
    {
        if (Output.Json || terminal.In is null)
            return null;
        Output.Raw($"{question} ");
        return await terminal.In.ReadLineAsync(Stop);
    }

    /// <summary>Where a piece is made: its clock counts for what is done to it.</summary>
    public async Task<string> SiteOfPieceAsync(string piece) =>
        (await Server.Pieces.GetPieceAsync(new() { Name = piece }, Call)).Site;

    /// <summary>Prints an answer: as JSON, or as a view with the sites' clocks.</summary>
    public async Task PrintAsync<T>(T answer, Func<T, SiteClock, IRenderable> view)
        where T : IMessage
    {
        if (Output.Json)
            Output.Message(answer);
        else
            Output.Show(view(answer, await ClockAsync()));
    }

    private async Task<ListSitesResponse> SitesAsync() =>
        _sites ??= await Server.ListAsync(new ListSitesRequest { Parent = Names.Studio }, Server.Sites.ListSitesAsync, Stop);

    private async Task<string> OnlyStudioAsync()
    {
        var all = await Server.ListAsync(new ListStudiosRequest(), Server.Studios.ListStudiosAsync, Stop);
        return all.Studios switch
        {
            [var only] => only.Name,
            [] => throw new UsageException("There is no studio yet: pourwright studio create STUDIO --name NAME."),
            var several => throw new UsageException("Which studio? Write --studio, or set POURWRIGHT_STUDIO: "
                + string.Join(", ", several.Select(studio => ResourceNames.Brief(studio.Name))) + "."),
        };
    }
}
