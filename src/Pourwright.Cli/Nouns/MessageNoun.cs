using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright message ...</c></summary>
public static class MessageNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("What the worker could not digest; for whoever keeps the nodes running");
        noun.VerbWithoutStudio<StudioSettings>("failed", "Lists messages that failed and have had no effect yet, oldest first", FailedAsync);
        noun.VerbWithoutStudio<Replay>("replay", "Hands failed messages to the worker again, once their cause is settled", ReplayAsync,
            "message", "replay", "--all");
    }

    /// <summary>A heading and the error for each: the text is too long for a column.</summary>
    public static IRenderable Rows(ListFailedMessagesResponse all, SiteClock clock) => all.FailedMessages.Count == 0
        ? new Cell("No message has failed.").Render()
        : Sheets.Stack(all.FailedMessages.SelectMany(message => new IRenderable[]
        {
            Heading(message, clock).Render(),
            new Padder(new Cell($"{message.Error}\n{message.Body}").Render(), new Padding(4, 0, 0, 0)),
        }));

    private static Cell Heading(FailedMessage message, SiteClock clock) => new(
        $"{(message.GivenUp ? "GIVEN UP" : "TRIED AGAIN")}  {message.Kind}  {clock.At(message.CreateTime, null)}  failed {message.AttemptCount} times  {ResourceNames.Brief(message.Name)}",
        message.GivenUp ? Tone.Bad : Tone.Wait);

    private static async Task FailedAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(await AllAsync(desk), Rows);

    private static async Task ReplayAsync(Desk desk, Replay s)
    {
        if (s.All == s.Id is { Length: > 0 }) throw new UsageException("Which? Name one message, as `pourwright message failed` does, or write --all.");
        var names = s.All ? (await AllAsync(desk)).FailedMessages.Select(message => message.Name) : [NameOf(s.Id!)];
        var replayed = new ListFailedMessagesResponse();
        foreach (var name in names.ToList())
            replayed.FailedMessages.Add(await desk.Server.FailedMessages.ReplayFailedMessageAsync(
                new() { Name = name, RequestId = s.All ? "" : s.RequestId }, desk.Call));
        await desk.PrintAsync(replayed, (all, _) => new Cell(all.FailedMessages.Count == 1 ? "1 message is tried again." : $"{all.FailedMessages.Count} messages are tried again.").Render());
    }

    private static Task<ListFailedMessagesResponse> AllAsync(Desk desk) =>
        Server.ListAsync(new ListFailedMessagesRequest(), desk.Server.FailedMessages.ListFailedMessagesAsync, desk.Stop);

    private static string NameOf(string text) => text.Contains('/', StringComparison.Ordinal) ? text : $"failedMessages/{text}";

    private sealed class Replay : WriteSettings
    {
        [CommandArgument(0, "[message]")]
        [Description("Its name, as `message failed` shows it")]
        public string? Id { get; init; }

        [CommandOption("--all")]
        [Description("All that failed")]
        public bool All { get; init; }
    }
}
