using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright studio ...</c></summary>
public static class StudioNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("The business that owns everything else");
        noun.VerbWithoutStudio<Create>("create", "Creates a studio", CreateAsync,
            "studio", "create", "riverside", "--name", "Riverside");
        noun.VerbWithoutStudio<StudioSettings>("list", "Lists the studios", ListAsync);
        noun.Verb<One>("show", "Shows a studio", ShowAsync);
    }

    public static IRenderable Card(Studio studio) => Sheets.Card($"Studio {ResourceNames.Brief(studio.Name)}", ("Name", studio.DisplayName));

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var request = new CreateStudioRequest
        {
            Studio = new() { DisplayName = s.DisplayName },
            StudioId = s.Id,
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Studios.CreateStudioAsync(request, desk.Call), (studio, _) => Card(studio));
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListStudiosRequest(), desk.Server.Studios.ListStudiosAsync, desk.Stop),
        (all, _) => Sheets.Rows("No studio yet.", ["Studio", "Name"],
            all.Studios.Select(studio => new Cell[] { ResourceNames.Brief(studio.Name), studio.DisplayName })));

    private static async Task ShowAsync(Desk desk, One s)
    {
        var name = s.Id is { Length: > 0 } id ? ResourceNames.StudioOf(id) : desk.Names.Studio;
        await desk.PrintAsync(await desk.Server.Studios.GetStudioAsync(new() { Name = name }, desk.Call), (studio, _) => Card(studio));
    }

    private sealed class Create : WriteSettings
    {
        [CommandArgument(0, "<studio>")]
        [Description("Its id: lower-case letters, digits and hyphens")]
        public required string Id { get; init; }

        [CommandOption("-n|--name <NAME>", true)]
        [Description("What people call it")]
        public required string DisplayName { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "[studio]")]
        public string? Id { get; init; }
    }
}
