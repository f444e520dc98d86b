using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright key ...</c></summary>
public static class KeyNoun
{
    private const string Roles = "device, assistant, instructor, lead or owner";

    public static void Register(Noun noun)
    {
        noun.Describe("Keys: who may call, and where");
        noun.Verb<Create>("create", "Makes a key; its secret is shown this once", CreateAsync,
            "key", "create", "tablet-north", "--role", "device", "--for", "Tablet at the north shelf", "--at", "north");
        noun.Verb<StudioSettings>("list", "Lists the keys, revoked ones too", ListAsync);
        noun.Verb<Revoke>("revoke", "Revokes a key for good; its open streams end within five seconds", RevokeAsync, "key", "revoke", "tablet-north");
        noun.VerbWithoutStudio<StudioSettings>("who", "Says who the key in use says you are", WhoAsync);
        noun.VerbWithoutStudio<StudioSettings>("keep", "Asks for a key and keeps it for the commands to come, in a file that only you may read", KeepAsync);
    }

    public static IRenderable Card(AccessKey key, SiteClock clock) => Sheets.Card($"Key {ResourceNames.Brief(key.Name)}",
    [
        ("Held by", key.DisplayName),
        ("Role", Words.Of(key.Role)),
        ("Good for", Places(key.Sites)),
        ("Made", clock.At(key.CreateTime, null)),
        ("Expires", clock.At(key.ExpireTime, null)),
        ("Revoked", clock.At(key.RevokeTime, null)),
        ("Secret", key.Secret.Length == 0 ? null : key.Secret),
        ("Keep it", key.Secret.Length == 0 ? null : "This is shown once. Whoever has it may do what its role may: give it to one person or device, and revoke it when it went astray."),
    ]);

    public static IRenderable Rows(ListAccessKeysResponse all, SiteClock clock) => Sheets.Rows("No key.",
        ["Key", "Held by", "Role", "Good for", "Made", "Stands"],
        all.AccessKeys.Select(key => new Cell[]
        {
            ResourceNames.Brief(key.Name), key.DisplayName, Words.Of(key.Role), Places(key.Sites), clock.At(key.CreateTime, null), Standing(key, clock),
        }));

    private static string Places(IEnumerable<string> sites) =>
        string.Join(", ", sites.Select(ResourceNames.Brief)) is { Length: > 0 } some ? some : "the whole studio";

    private static Cell Standing(AccessKey key, SiteClock clock) => (key.RevokeTime, key.ExpireTime) switch
    {
        ({ } revoked, _) => new($"REVOKED {clock.At(revoked, null)}", Tone.Bad),
        (_, { } expires) when expires.ToDateTimeOffset() <= clock.Now => new($"EXPIRED {clock.At(expires, null)}", Tone.Bad),
        (_, { } expires) => new($"GOOD until {clock.At(expires, null)}", Tone.Good),
        _ => new("GOOD", Tone.Good),
    };

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var key = new AccessKey
        {
            DisplayName = s.For ?? throw new UsageException("Say who has it: --for TEXT."),
            Role = Words.Parse<Role>(s.RoleName ?? throw new UsageException($"Say what it allows: --role {Roles}.")),
            ExpireTime = await desk.BoundAsync(s.Until, WhenSense.Planned),
            Sites = { (s.At ?? []).Select(desk.Names.Site) },
        };
        var request = new CreateAccessKeyRequest { Parent = desk.Names.Studio, AccessKey = key, AccessKeyId = s.Id ?? "", RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Access.CreateAccessKeyAsync(request, desk.Call), Card);
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListAccessKeysRequest { Parent = desk.Names.Studio }, desk.Server.Access.ListAccessKeysAsync, desk.Stop), Rows);

    private static async Task RevokeAsync(Desk desk, Revoke s) => await desk.PrintAsync(
        await desk.Server.Access.RevokeAccessKeyAsync(new() { Name = desk.Names.AccessKey(s.Id), RequestId = s.RequestId }, desk.Call), Card);

    private static async Task WhoAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await desk.Server.Access.GetIdentityAsync(new(), desk.Call),
        (who, _) => Sheets.Card($"Key {ResourceNames.Brief(who.Key)}",
        [
            ("Held by", who.DisplayName),
            ("Role", Words.Of(who.Role)),
            ("Good for", who.Studio.Length == 0 ? "every studio of the node" : $"{ResourceNames.Brief(who.Studio)}: {Places(who.Sites)}"),
        ]));

    private static async Task KeepAsync(Desk desk, StudioSettings s)
    {
        if (await desk.AskAsync("Key:") is not { } key || key.Trim().Length == 0) throw new UsageException("Type the key, or send it on standard input.");
        ClientKey.Keep(key.Trim());
        desk.Output.Say($"Kept in {ClientKey.KeptAt}; only you may read it. `key who` says what it allows.");
    }

    private sealed class Create : WriteSettings
    {
        [CommandArgument(0, "[id]")]
        [Description("Its id, which is no secret; made up unless told")]
        public string? Id { get; init; }

        [CommandOption("--role <ROLE>")]
        [Description($"What it allows: {Roles}")]
        public string? RoleName { get; init; }

        [CommandOption("--for <TEXT>")]
        [Description("Who has it")]
        public string? For { get; init; }

        [CommandOption("--at <SITE>")]
        [Description("A site it is good for, once for each; the whole studio unless told")]
        public string[]? At { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("When it expires; never unless told")]
        public string? Until { get; init; }
    }

    private sealed class Revoke : WriteSettings
    {
        [CommandArgument(0, "<key>")]
        public required string Id { get; init; }
    }
}
