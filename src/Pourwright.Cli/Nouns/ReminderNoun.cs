using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright reminder ...</c></summary>
public static class ReminderNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("One message per decision to one person");
        noun.Verb<Filter>("list", "Lists the open reminders, oldest first", ListAsync, "reminder", "list", "--all");
        noun.Verb<Ack>("ack", "Says that you have it in hand: it is not escalated any more", AckAsync,
            "reminder", "ack", "reminder-1", "--by", "Ana");
        noun.Verb<StudioSettings>("watch", "Shows what is open, then every new one as it goes out; Ctrl+C ends it", WatchAsync);
    }

    /// <summary>A heading and what to do for each: the text is too long for a column.</summary>
    public static IRenderable Rows(ListRemindersResponse all, SiteClock clock) => all.Reminders.Count == 0
        ? new Cell("No reminder is open.").Render()
        : Sheets.Stack(all.Reminders.SelectMany(r => new IRenderable[]
        {
            (State(r) with { Text = $"{State(r).Text}  {clock.AtAndIn(r.RemindTime, r.Site)}  to {Words.Of(r.RecipientRole)}  {ResourceNames.Brief(r.Name)}" })
                .Render(),
            new Padder(new Cell(r.Text).Render(), new Padding(4, 0, 0, 0)),
        }));

    /// <summary>One reminder on a line of its own.</summary>
    public static Cell Line(Reminder r, SiteClock clock) => new(
        $"{clock.At(r.SendTime ?? r.RemindTime, r.Site)}  {State(r).Text}  {r.Text}  ({ResourceNames.Brief(r.Name)})",
        r.Kind is Reminder.Types.Kind.Exotherm ? Tone.Bad : Tone.Plain);

    private static Cell State(Reminder r) => r.State switch
    {
        Reminder.Types.State.Sent => new("OPEN", Tone.Wait),
        Reminder.Types.State.Withdrawn => new($"WITHDRAWN: {r.WithdrawReason}", Tone.Faint),
        Reminder.Types.State.Acknowledged => new($"IN HAND: {r.Acknowledger}", Tone.Good),
        _ => new(Words.Of(r.State).ToUpperInvariant()),
    };

    private static async Task ListAsync(Desk desk, Filter s)
    {
        var state = s.All ? Reminder.Types.State.Unspecified : s.State;
        var request = new ListRemindersRequest { Parent = desk.Names.Studio, Site = desk.SiteFilter, State = state };
        await desk.PrintAsync(await Server.ListAsync(request, desk.Server.Reminders.ListRemindersAsync, desk.Stop), Rows);
    }

    private static async Task AckAsync(Desk desk, Ack s)
    {
        var request = new AcknowledgeReminderRequest { Name = desk.Names.Reminder(s.Id), Acknowledger = s.Person, RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Reminders.AcknowledgeReminderAsync(request, desk.Call), (r, clock) => Line(r, clock).Render());
    }

    private static async Task WatchAsync(Desk desk, StudioSettings s)
    {
        var clock = desk.Output.Json ? null : await desk.ClockAsync();
        var last = "";
        await Server.WatchAsync(
            stop => desk.Server.Reminders.WatchReminders(
                new() { Parent = desk.Names.Studio, Site = desk.SiteFilter, LastSeenReminder = last }, cancellationToken: stop),
            reminder =>
            {
                last = reminder.Name;
                if (clock is null)
                    desk.Output.MessageLine(reminder);
                else
                    desk.Output.Say(Line(reminder, clock));
            },
            lost => desk.Output.Say(new($"No answer from the server: {lost} Trying again.", Tone.Bad)),
            desk.Stop);
    }

    private sealed class Filter : StudioSettings
    {
        [CommandOption("--state <STATE>")]
        [Description("pending, sent (open), acknowledged or withdrawn; sent unless told")]
        [TypeConverter(typeof(WordConverter<Reminder.Types.State>))]
        public Reminder.Types.State State { get; init; } = Reminder.Types.State.Sent;

        [CommandOption("--all")]
        [Description("In every state")]
        public bool All { get; init; }
    }

    private sealed class Ack : PersonSettings
    {
        [CommandArgument(0, "<reminder>")]
        public required string Id { get; init; }
    }
}
