using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>A node with one studio and one site in Lisbon, whose reminders a test watches. Rows of other slices are written straight into their tables.</summary>
internal sealed class ReminderDesk : IAsyncDisposable
{
    public const string Studio = "studios/alder";
    public const string Site = "studios/alder/sites/north";
    public const string Bench = "studios/alder/sites/north/benches/shelf";

    /// <summary>Friday 6 February 2026, 09:00 in Lisbon and UTC alike; quiet hours are 21:00 to 07:00.</summary>
    public static readonly DateTimeOffset Start = StudioHarness.Start;

    private ReminderDesk(StudioHarness harness) => Harness = harness;

    public StudioHarness Harness { get; }

    public V1.ReminderService.ReminderServiceClient Client => new(Harness.Channel);

    /// <param name="configure">Replaces services.</param>
    /// <param name="contacts">Of the site; without any there is only the inbox.</param>
    public static Task<ReminderDesk> StartAsync(Action<IServiceCollection>? configure = null, params Contact[] contacts) =>
        StartAsync(configure, [], contacts);

    /// <inheritdoc cref="StartAsync(Action{IServiceCollection}?, Contact[])"/>
    public static async Task<ReminderDesk> StartAsync(Action<IServiceCollection>? configure, string[] settings, Contact[] contacts)
    {
        var harness = await StudioHarness.StartAsync(configure, settings);
        await new StudioService.StudioServiceClient(harness.Channel).CreateStudioAsync(
            new() { StudioId = "alder", Studio = new() { DisplayName = "Alder" } });
        var sites = new SiteService.SiteServiceClient(harness.Channel);
        await sites.CreateSiteAsync(new()
        {
            Parent = Studio,
            SiteId = "north",
            Site = new() { DisplayName = "North", TimeZone = "Europe/Lisbon", Contacts = { contacts } },
        });
        await sites.CreateBenchAsync(new() { Parent = Site, BenchId = "shelf", Bench = new() { DisplayName = "Shelf" } });
        return new ReminderDesk(harness);
    }

    /// <summary>Puts channels in the place of mail and webhooks.</summary>
    public static Action<IServiceCollection> With(params IReminderChannel[] channels) => services =>
    {
        services.RemoveAll<IReminderChannel>();
        foreach (var channel in channels) services.AddSingleton(channel);
    };

    public static Contact Person(Contact.Types.Role role, string email = "", string webhook = "") =>
        new() { Role = role, DisplayName = role.ToString(), Email = email, WebhookUri = webhook };

    public Task SweepAsync<T>() where T : ISweep => Harness.Services.GetRequiredService<T>().RunAsync(CancellationToken.None);

    public async Task SweepAtAsync<T>(DateTimeOffset instant) where T : ISweep
    {
        Harness.Clock.SetUtcNow(instant);
        await SweepAsync<T>();
    }

    public IReadOnlyList<ReminderRecord> Reminders() => Harness.Reads.Read(session => session.Query<ReminderRecord>(
        """
        SELECT sequence, name, studio, site, kind, state, subject, text, recipient_role, safety, remind_ms, send_ms, send_sequence,
               acknowledge_ms, acknowledger, escalate_due_ms, escalate_ms, withdraw_reason
          FROM reminders ORDER BY sequence
        """));

    public ReminderRecord Single(Kind kind) => Reminders().Single(reminder => reminder.Kind == kind);

    public IReadOnlyList<Reminder.Types.State> StatesOf(Kind kind) => [.. Reminders().Where(r => r.Kind == kind).Select(r => r.State)];

    public IReadOnlyList<DeliveryRow> Deliveries() => Harness.Reads.Read(session => session.Query<DeliveryRow>(
        """
        SELECT d.reminder, d.channel, d.address, d.attempts, d.next_attempt_ms, d.delivered_ms, d.last_error
          FROM deliveries d JOIN reminders r ON r.name = d.reminder ORDER BY r.sequence, d.channel, d.address
        """));

    /// <summary>A piece in its mould with one pour, of that many hours ago.</summary>
    public Task<string> AddPieceAsync(string id, double pouredHoursAgo = 1, DateTimeOffset? session = null) => Harness.Writer.WriteAsync(tx =>
    {
        var piece = new
        {
            name = $"{Studio}/pieces/{id}",
            Studio,
            Site,
            Bench,
            id,
            pour = tx.Now.AddHours(-pouredHoursAgo).ToUnixMs(),
            session = session?.ToUnixMs(),
        };
        tx.Execute(
            """
            INSERT INTO resin_systems (name, studio, display_name, basis, hardener_parts_per_100_resin, ratio_tolerance_percent, cure_class,
                                       depth_limit_action, batch_limit_action, min_cure_temperature_celsius, data_sheet)
            VALUES (@Studio || '/resinSystems/deep', @Studio, 'Deep', 1, 42, 2, 1, 1, 1, 15, '{}') ON CONFLICT DO NOTHING
            """, piece);
        tx.Execute(
            """
            INSERT INTO mixes (name, studio, site, resin_system, mix_ms, mixer, scale, deviation_reason, a_mass_mg, b_mass_mg, pigment_mass_mg,
                               hardener_parts_per_100_resin, ratio_deviation_percent, cautions, record_ms)
            VALUES (@Studio || '/mixes/' || @id, @Studio, @Site, @Studio || '/resinSystems/deep', @pour, 'Asa', 'scale', '', 100, 42, 0, 42, 0, '[]', @pour)
            """, piece);
        tx.Execute(
            """
            INSERT INTO pieces (name, studio, site, label, maker, casting_class, mould, wood_species, planned_session_ms, state, bench)
            VALUES (@name, @Studio, @Site, @id, 'Mara', '', '', '', @session, 2, @Bench)
            """, piece);
        tx.Execute(
            """
            INSERT INTO pours (name, piece, mix, bench, mass_mg, depth_mm, pour_ms, pourer, deviation_reason, layer_count, cautions, record_ms)
            VALUES (@name || '/pours/one', @name, @Studio || '/mixes/' || @id, @Bench, 100, 20, @pour, 'Asa', '', 1, '[]', @pour)
            """, piece);
        return piece.name;
    });

    public Task SetPieceStateAsync(string piece, Piece.Types.State state) => Harness.Writer.WriteAsync(
        tx => tx.Execute("UPDATE pieces SET state = @state WHERE name = @piece", new { piece, state = (int)state }));

    /// <summary>A forecast of a piece, as its slice tells reminders.</summary>
    public Task ForecastAsync(
        string piece, DateTimeOffset? demoldSafe, DateTimeOffset? handleSafe = null, DateTimeOffset? session = null, bool runaway = false) =>
        Harness.Writer.WriteAsync(tx => ForecastReminders.Apply(tx, new ForecastNews(
            Studio, Site, piece, piece.Split('/')[^1], session?.ToUnixMs(), demoldSafe?.ToUnixMs(),
            (handleSafe ?? demoldSafe?.AddHours(10))?.ToUnixMs(), runaway, 150)));

    /// <summary>A waiting reminder of the site, straight into the table.</summary>
    public Task RemindAsync(string subject, DateTimeOffset due, Kind kind = Kind.DemoldReady, bool safety = false) =>
        Harness.Writer.WriteAsync(tx =>
        {
            var changes = new ReminderChanges();
            changes.Add(new ReminderDraft
            {
                Studio = Studio,
                Site = Site,
                Kind = kind,
                Subject = $"{Studio}/pieces/{subject}",
                Text = $"{subject}: test by touch. Then go on.",
                RecipientRole = Contact.Types.Role.Instructor,
                Safety = safety,
                RemindMs = due.ToUnixMs(),
            });
            ReminderStore.Save(tx, changes);
        });

    public ValueTask DisposeAsync() => Harness.DisposeAsync();
}

internal sealed record DeliveryRow
{
    public required string Reminder { get; init; }
    public required string Channel { get; init; }
    public required string Address { get; init; }
    public required int Attempts { get; init; }
    public long? NextAttemptMs { get; init; }
    public long? DeliveredMs { get; init; }
    public required string LastError { get; init; }
}

/// <summary>A channel that keeps what it was given and answers as the test says.</summary>
internal sealed class RecordingChannel(string channel) : IReminderChannel
{
    public string Channel => channel;

    public List<(string Reminder, string Address)> Sent { get; } = [];

    public Func<DeliveryOutcome> Answer { get; set; } = () => DeliveryOutcome.Delivered;

    public Task<DeliveryOutcome> SendAsync(ReminderRecord reminder, string address, DateTimeOffset attempted, CancellationToken ct)
    {
        lock (Sent) Sent.Add((reminder.Name, address));
        return Task.FromResult(Answer());
    }
}
