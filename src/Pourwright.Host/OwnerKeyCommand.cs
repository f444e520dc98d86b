using Pourwright.Studio.Access;
using Pourwright.Studio.Storage;

namespace Pourwright.Host;

/// <summary>
/// `owner-key`: makes a key that is good for every studio of the node and prints it, this once; `--only` revokes the earlier ones, such
/// as one that was lost. It writes into the store that its settings name, whether a node runs on it or not.
/// </summary>
public static class OwnerKeyCommand
{
    private const string Only = "--only";

    public static async Task<int> RunAsync(string[] args, TextWriter output)
    {
        output.WriteLine(await IssueAsync([.. args.Except([Only])], args.Contains(Only)));
        return 0;
    }

    /// <summary>The key of a node that is not running in this process.</summary>
    /// <param name="settings">As those of the node.</param>
    /// <param name="onlyOne">Revokes the earlier ones.</param>
    public static async Task<string> IssueAsync(string[] settings, bool onlyOne = false)
    {
        await using var app = StudioHost.Build([.. settings, "--Node:Roles="], builder => builder.Logging.ClearProviders());
        var writer = app.Services.GetRequiredService<StudioWriter>();
        await writer.StartAsync(CancellationToken.None);
        var key = await app.Services.GetRequiredService<OwnerKeys>().IssueAsync(onlyOne);
        await writer.StopAsync(CancellationToken.None);
        return key;
    }

    /// <summary>What a node says at its start while nobody can call it: the key where a person looks on, else how to be given one. A key in a log would be known to whoever reads the log.</summary>
    public static async Task OfferAsync(WebApplication app)
    {
        var keys = app.Services.GetRequiredService<OwnerKeys>();
        var node = app.Configuration.GetSection("Node").Get<NodeSettings>() ?? new();
        if (!node.IsApi || !keys.IsFirstNeeded) return;
        if (Console.IsOutputRedirected)
            app.Logger.LogWarning("Nobody has a key of this node yet. `Pourwright.Host owner-key`, with the settings of this node, makes one and prints it.");
        else
            Console.WriteLine($"""

                The key of this node's owner, shown this once and kept nowhere:

                  export POURWRIGHT_KEY={await keys.IssueAsync()}

                """);
    }
}
