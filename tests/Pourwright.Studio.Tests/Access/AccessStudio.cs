using Grpc.Core;
using Grpc.Core.Interceptors;
using Grpc.AspNetCore.Server;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Pourwright.Studio.Access;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Access;

/// <summary>
/// Two studios with a thing of each kind at each site, and a key of each kind. The site's word stands in the name of whatever is of it:
/// `north` and `south` of alder, `east` of birch. What is the whole studio's has neither.
/// </summary>
public sealed class AccessStudio : IAsyncDisposable
{
    public const string North = "north", South = "south", East = "east";

    /// <summary>What a call says that got past all checks, where the node stops it there.</summary>
    public const string Admitted = "admitted";

    public static readonly IReadOnlyList<Role> Roles = [Role.Device, Role.Assistant, Role.Instructor, Role.Lead, Role.Owner];

    private readonly Dictionary<string, CallInvoker> _calls = [];

    private AccessStudio(StudioHarness node) => Node = node;

    public StudioHarness Node { get; }

    /// <summary>What the node goes by; a test may change it.</summary>
    public Dictionary<string, Policy> Policies { get; } = new(Studio.Access.Policies.All);

    public Dictionary<string, string> Questions { get; } = new(ThingSites.Questions);

    /// <param name="stops">Whether the node stops each call that is admitted, before it does anything.</param>
    public static async Task<AccessStudio> StartAsync(bool stops)
    {
        AccessStudio studio = null!;
        var node = await StudioHarness.StartAsync(services =>
        {
            services.Replace(ServiceDescriptor.Singleton(_ => new PolicyTable(studio.Policies)));
            services.Replace(ServiceDescriptor.Singleton(_ => new ThingSites(studio.Questions)));
            if (stops) services.Configure<GrpcServiceOptions>(grpc => grpc.Interceptors.Add<Stop>());
        });
        studio = new(node);
        await node.Writer.WriteAsync(studio.Fill);
        return studio;
    }

    public ValueTask DisposeAsync() => Node.DisposeAsync();

    /// <summary>Calls with a key: `device of north`, `owner of alder`, `lead of both`, `owner of birch`, `student of north`, `none`, `expired`, `revoked`.</summary>
    public CallInvoker With(string key)
    {
        if (!_calls.TryGetValue(key, out var calls))
            _calls[key] = calls = Node.OpenChannel(key == "none" ? null : key == "node" ? StudioHarness.KeyAt(Node.Channel.Target) : SecretOf(key)).CreateCallInvoker();
        return calls;
    }

    private static string SecretOf(string key) => $"pwk_{key.Replace(' ', '_')}";

    private void Fill(StudioTransaction tx)
    {
        var now = Node.Clock.GetUtcNow().ToUnixMs();
        foreach (var (studio, sites) in ((string, string[])[])[("alder", [North, South]), ("birch", [East])])
        {
            tx.Execute("INSERT INTO studios (name, display_name) VALUES (@name, @studio)", new { name = $"studios/{studio}", studio });
            foreach (var site in sites) FillSite(tx, $"studios/{studio}", site, now);
        }
        foreach (var role in Roles)
        {
            AddKey(tx, $"{role} of north", "studios/alder", role, "studios/alder/sites/north");
            AddKey(tx, $"{role} of both", "studios/alder", role, "studios/alder/sites/north studios/alder/sites/south");
            AddKey(tx, $"{role} of alder", "studios/alder", role, "");
            AddKey(tx, $"{role} of birch", "studios/birch", role, "");
        }
        AddKey(tx, "expired", "studios/alder", Role.Owner, "", expireMs: now);
        AddKey(tx, "revoked", "studios/alder", Role.Owner, "", revokeMs: now);
    }

    private static void AddKey(StudioTransaction tx, string key, string studio, Role role, string sites, long? expireMs = null, long? revokeMs = null) => tx.Execute(
        """
        INSERT INTO access_keys (name, studio, display_name, role, sites, key_sha256, create_ms, expire_ms, revoke_ms)
        VALUES (@name, @studio, @key, @role, @sites, @sha, 0, @expireMs, @revokeMs)
        """,
        new
        {
            name = $"{studio}/accessKeys/{key.ToLowerInvariant().Replace(' ', '-')}", studio, key, role = (int)role, sites,
            sha = Secrets.Hash(SecretOf(key.ToLowerInvariant())), expireMs, revokeMs,
        });

    private static void FillSite(StudioTransaction tx, string studio, string word, long now)
    {
        var site = $"{studio}/sites/{word}";
        foreach (var statement in Statements.Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
            tx.Execute(statement, new { studio, site, word, now, bench = $"{site}/benches/{word}", deep = $"{studio}/resinSystems/deep", sha = Secrets.Hash(site), link = Secrets.Hash(SecretOf($"student of {word}")) });
    }

    /// <summary>One of each; numbers that mean nothing are 1.</summary>
    private const string Statements =
        """
        INSERT INTO sites (name, studio, display_name, time_zone, quiet_start_minute, quiet_end_minute, reminder_swing_ms, dew_point_margin_celsius, etag)
        VALUES (@site, @studio, @word, 'Europe/Lisbon', 1, 2, 1, 1, '');
        INSERT INTO benches (name, site, display_name, board_thickness_mm) VALUES (@bench, @site, @word, 18);
        INSERT INTO sensors (name, site, display_name, report_interval_ms) VALUES (@site || '/sensors/' || @word, @site, @word, 3600000);
        INSERT INTO rooms (name, site, display_name, seats, etag) VALUES (@site || '/rooms/' || @word, @site, @word, 1, '');
        INSERT INTO stations (name, site, display_name, kind, places, minutes_a_day, etag) VALUES (@site || '/stations/' || @word, @site, @word, 1, 1, 1, '');
        INSERT INTO outages (name, site, start_ms, end_ms, reason) VALUES (@site || '/outages/' || @word, @site, @now, @now + 1, @word);
        INSERT INTO moulds (name, site, display_name, length_mm, width_mm, depth_mm, count) VALUES (@site || '/moulds/' || @word, @site, @word, 1, 1, 1, 1);
        INSERT INTO resin_systems (name, studio, display_name, basis, hardener_parts_per_100_resin, ratio_tolerance_percent, cure_class, depth_limit_action, batch_limit_action, min_cure_temperature_celsius, data_sheet)
        SELECT @deep, @studio, 'deep', 1, 42, 2, 1, 1, 1, 15, '{}' WHERE NOT EXISTS (SELECT 1 FROM resin_systems WHERE name = @deep);
        INSERT INTO offerings (name, studio, display_name, resin_system, depth_mm, length_mm, width_mm, wood_share, layers, pieces_per_student, seats, pour_minutes, machine_minutes, planer_minutes_per_piece, saw_minutes_per_piece, longest_gap_days, seal_coat_g_per_m2, loss_share, mould_prep_days, etag)
        SELECT @studio || '/offerings/tray', @studio, 'tray', @deep, 30, 400, 250, 0.5, '[]', 1, 8, 60, 60, 5, 5, 10, 0, 0, 1, '' WHERE NOT EXISTS (SELECT 1 FROM offerings WHERE studio = @studio);
        INSERT INTO instructors (name, studio, display_name, email, home_site, weekdays, days_a_week, farthest_minutes, etag)
        VALUES (@studio || '/instructors/' || @word, @studio, @word, 'i@example.org', @site, 127, 5, 0, '');
        INSERT INTO absences (name, instructor, start_date, end_date, reason) VALUES (@studio || '/instructors/' || @word || '/absences/' || @word, @studio || '/instructors/' || @word, '2026-03-01', '2026-03-02', @word);
        INSERT INTO classes (name, studio, display_name, offering, seats, pieces, first_date, last_date, weekdays, state, etag)
        VALUES (@studio || '/classes/' || @word, @studio, @word, @studio || '/offerings/tray', 8, 1, '2026-03-01', '2026-03-30', 127, 2, '');
        INSERT INTO class_sites (class, site, position) VALUES (@studio || '/classes/' || @word, @site, 0);
        INSERT INTO sessions (name, class, kind, site, bench, start_ms, end_ms, local_date, local_start_minute, time_zone, tzdb_version, instructor, state, sequence, change_reason)
        VALUES (@studio || '/classes/' || @word || '/sessions/pour', @studio || '/classes/' || @word, 1, @site, @bench, @now, @now + 3600000, '2026-03-01', 540, 'Europe/Lisbon', '', @studio || '/instructors/' || @word, 1, 0, '');
        INSERT INTO tasks (name, class, site, kind, due_ms) VALUES (@studio || '/classes/' || @word || '/tasks/' || @word, @studio || '/classes/' || @word, @site, 1, @now);
        INSERT INTO students (name, studio, display_name, contact_email, consent_to_messages, etag) VALUES (@studio || '/students/' || @word, @studio, @word, 's@example.org', 1, '');
        INSERT INTO enrolments (name, class, student, state, accepted_dates, created_ms, cautions)
        VALUES (@studio || '/classes/' || @word || '/enrolments/' || @word, @studio || '/classes/' || @word, @studio || '/students/' || @word, 1, '', @now, '[]');
        INSERT INTO lots (name, studio, part, resin_system, supplier, supplier_lot_code, content, receive_ms, received_mass_mg)
        VALUES (@studio || '/lots/' || @word, @studio, 1, @deep, 'Harbour Supplies', @word, '', @now, 1000);
        INSERT INTO containers (name, studio, site, part, resin_system, state, received_mass_mg, remaining_mass_mg)
        VALUES (@studio || '/containers/' || @word, @studio, @site, 1, @deep, 1, 1000, 1000);
        INSERT INTO container_events (container, kind, mass_mg, lot, event_ms) VALUES (@studio || '/containers/' || @word, 'received', 1000, @studio || '/lots/' || @word, @now);
        INSERT INTO mixes (name, studio, site, resin_system, mix_ms, mixer, scale, deviation_reason, a_mass_mg, b_mass_mg, pigment_mass_mg, hardener_parts_per_100_resin, ratio_deviation_percent, cautions, record_ms)
        VALUES (@studio || '/mixes/' || @word, @studio, @site, @deep, @now, @word, '', '', 100, 42, 0, 42, 0, '[]', @now);
        INSERT INTO pieces (name, studio, site, label, maker, casting_class, mould, wood_species, state, bench)
        VALUES (@studio || '/pieces/' || @word, @studio, @site, @word, @word, '', '', '', 2, @bench);
        INSERT INTO pours (name, piece, mix, bench, mass_mg, depth_mm, pour_ms, pourer, deviation_reason, layer_count, cautions, record_ms)
        VALUES (@studio || '/pieces/' || @word || '/pours/' || @word, @studio || '/pieces/' || @word, @studio || '/mixes/' || @word, @bench, 100, 20, @now, @word, '', 1, '[]', @now);
        INSERT INTO defects (name, studio, piece, kind, find_ms, finder, note, photo_uris)
        VALUES (@studio || '/defects/' || @word, @studio, @studio || '/pieces/' || @word, 1, @now, @word, '', '[]');
        INSERT INTO reminders (name, studio, site, kind, state, subject, decision, text, recipient_role, safety, remind_ms, send_ms, send_sequence)
        SELECT @studio || '/reminders/' || @word, @studio, @site, 1, 2, @studio || '/pieces/' || @word, @site, @word, 1, 0, @now, @now, (SELECT count(*) + 1 FROM reminders);
        INSERT INTO calendar_links (name, studio, subject, display_name, key_sha256, create_ms)
        VALUES (@studio || '/calendarLinks/' || @word, @studio, @site, @word, @sha, @now);
        INSERT INTO student_links (name, studio, enrolment, student, link_sha256, create_ms, expire_ms)
        VALUES (@studio || '/studentLinks/' || @word, @studio, @studio || '/classes/' || @word || '/enrolments/' || @word, @studio || '/students/' || @word, @link, @now, @now + 86400000)
        """;

    /// <summary>The last in line: whatever comes here was admitted.</summary>
    private sealed class Stop : Interceptor
    {
        public override Task<TResponse> UnaryServerHandler<TRequest, TResponse>(
            TRequest request, ServerCallContext context, UnaryServerMethod<TRequest, TResponse> continuation) => throw Said();

        public override Task ServerStreamingServerHandler<TRequest, TResponse>(
            TRequest request, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, ServerStreamingServerMethod<TRequest, TResponse> continuation) =>
            throw Said();

        public override async Task<TResponse> ClientStreamingServerHandler<TRequest, TResponse>(
            IAsyncStreamReader<TRequest> requestStream, ServerCallContext context, ClientStreamingServerMethod<TRequest, TResponse> continuation)
        {
            await requestStream.MoveNext(context.CancellationToken);
            throw Said();
        }

        private static RpcException Said() => new(new Status(StatusCode.Aborted, Admitted));
    }
}
