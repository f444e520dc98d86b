using Pourwright.Faults.Crashes;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Sqlite;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using State = Pourwright.V1.Reminder.Types.State;

namespace Pourwright.Faults.Simulation;

/// <summary>What a studio promises, looked at in its file once everything has come to rest; by plain SQL of its own, and never through a planted bug.</summary>
internal sealed class Promises(StudioDays studio, string file)
{
    private sealed record ReminderRow(
        string Name, Kind Kind, State State, string Subject, bool Safety, string Site, long RemindMs, long? SendMs, long? SendSequence,
        long? AcknowledgeMs, long? EscalateMs, int DeliveryCount, int OpenDeliveryCount);

    public void Check()
    {
        using var reads = new StudioReads(new SqliteStore(file));
        using var session = reads.Open();
        AcknowledgedIsKept(session);
        MassesBalance(session);
        EveryMessageHadOneEffect(session);
        HandedOverInOrder(session);
        var reminders = Reminders(session);
        RemindersAreSentOnce(reminders);
        RemindersKeepTheirHours(session, reminders);
        MailArrives(session, reminders);
        ForecastsFollow(session);
        Keep(StudioFile.Faults(file).Count == 0, $"the file is sound: {string.Join("; ", StudioFile.Faults(file).Take(3))}");
    }

    private void AcknowledgedIsKept(StudioReading session)
    {
        foreach (var call in studio.Calls)
        {
            Keep(call.IsSettled, $"{call.What} is answered in the end");
            if (call.Answer is Mix mix)
                Keep(MixStore.FindMix(session, mix.Name) is { } kept && MixStore.ToProto(session, kept).Draws.Equals(mix.Draws), $"{mix.Name} is as it was acknowledged");
            if (call.Answer is Pour pour)
                Keep(PieceStore.GetPours(session, pour.Name[..pour.Name.IndexOf("/pours", StringComparison.Ordinal)]).Any(found => found.Name == pour.Name && found.MassMg == pour.MassMg), $"{pour.Name} is as it was acknowledged");
        }
        var mixes = studio.Calls.Select(call => call.Answer).OfType<Mix>().Select(mix => mix.Name).Order(StringComparer.Ordinal);
        Keep(mixes.SequenceEqual(session.Query<string>("SELECT name FROM mixes ORDER BY name")), "there is no mix but those acknowledged");
    }

    /// <summary>What was received less what was drawn by mixes that were acknowledged is what is there, to the milligram.</summary>
    private void MassesBalance(StudioReading session)
    {
        var draws = studio.Calls.Select(call => call.Answer).OfType<Mix>().SelectMany(mix => mix.Draws).ToLookup(draw => draw.Container, draw => draw.MassMg);
        foreach (var can in (string[])[StudioTemplate.CanA, StudioTemplate.CanB])
        {
            var left = LotStore.GetContainer(session, can).RemainingMassMg;
            Keep(left == StudioTemplate.ReceivedMassMg - draws[can].Sum(), $"{can} holds what was received less what was drawn; it holds {left} mg");
            var booked = session.Scalar<long>("SELECT sum(mass_mg) FROM container_events WHERE container = @can", new { can });
            Keep(left == booked, $"{can} holds the sum of its events, {booked} mg; it holds {left} mg");
        }
    }

    private static void EveryMessageHadOneEffect(StudioReading session)
    {
        Keep(session.Scalar<long>("SELECT count(*) FROM outbox WHERE finished_ms IS NULL") == 0, "every message has had its effect");
        var others = session.Query<string>(
            """
            SELECT p.name
              FROM (SELECT s.name, s.state, (SELECT count(*) FROM pours WHERE piece = s.name) AS pours,
                           (SELECT count(*) FROM forecasts WHERE piece = s.name AND cause = @pour) AS forecasts FROM pieces s) p
             WHERE p.forecasts > p.pours OR p.forecasts < p.pours AND p.state IN (2, 3)
            """, new { pour = (int)Forecast.Types.Cause.Pour });
        Keep(others.Count == 0, $"a pour makes one forecast: {string.Join(' ', others)}");
        var none = session.Query<string>("SELECT piece FROM pours WHERE piece NOT IN (SELECT piece FROM forecasts) AND piece IN (SELECT name FROM pieces WHERE state IN (2, 3))");
        Keep(none.Count == 0, $"every pour has a forecast: {string.Join(' ', none)}");
    }

    /// <summary>What the first days' messages were handed over in; those that are forgotten after a week are left out.</summary>
    private void HandedOverInOrder(StudioReading session)
    {
        var place = session.Query<string>("SELECT message_id FROM outbox ORDER BY sequence").Index().ToDictionary(row => Guid.Parse(row.Item), row => row.Index);
        var handed = studio.World.Bus.HandedOver.Where(place.ContainsKey).Select(id => place[id]).ToList();
        Keep(handed.SequenceEqual(handed.Order()), "messages are first handed over in the order of their commits");
    }

    private static IReadOnlyList<ReminderRow> Reminders(StudioReading session) => session.Query<ReminderRow>(
        """
        SELECT r.name, r.kind, r.state, r.subject, r.safety, r.site, r.remind_ms, r.send_ms, r.send_sequence, r.acknowledge_ms, r.escalate_ms,
               (SELECT count(*) FROM deliveries d WHERE d.reminder = r.name) AS delivery_count,
               (SELECT count(*) FROM deliveries d WHERE d.reminder = r.name AND d.delivered_ms IS NULL AND d.last_error NOT LIKE 'withdrawn%') AS open_delivery_count
          FROM reminders r ORDER BY r.sequence
        """);

    private void RemindersAreSentOnce(IReadOnlyList<ReminderRow> reminders)
    {
        var places = reminders.Select(r => r.SendSequence).OfType<long>().Order().ToList();
        Keep(places.SequenceEqual(Enumerable.Range(1, places.Count).Select(place => (long)place)), $"what goes out has places 1, 2, 3 in the order of sending, once each: {string.Join(' ', places)}");
        foreach (var pour in studio.Calls.Select(call => call.Answer).OfType<Pour>())
        {
            var piece = pour.Name[..pour.Name.IndexOf("/pours", StringComparison.Ordinal)];
            var warnings = reminders.Where(r => r.Kind == Kind.Exotherm && r.Subject == piece).ToList();
            Keep(warnings.Count <= 1, $"{piece} warns of its heat once");
            foreach (var kind in (Kind[])[Kind.DemoldReady, Kind.HandleReady])
                Keep(reminders.Count(r => r.Kind == kind && r.Subject == piece && r.State != State.Withdrawn) <= 1, $"{piece} has one {kind} that stands");
        }
        var latest = studio.World.Clock.Now.ToUnixMs();
        Keep(!reminders.Any(r => r.State == State.Pending && r.RemindMs < latest - TimeSpan.FromHours(24).TotalMilliseconds), "nothing that was due a day ago still waits");
    }

    private void RemindersKeepTheirHours(StudioReading session, IReadOnlyList<ReminderRow> reminders)
    {
        foreach (var reminder in reminders.Where(r => r.SendMs is not null))
        {
            Keep(reminder.SendMs >= reminder.RemindMs, $"{reminder.Kind} of {reminder.Subject} goes out at its time or later");
            var quiet = QuietHours.Of(SiteStore.GetSite(session, reminder.Site));
            Keep(reminder.Safety || !quiet.Hold(Instants.FromUnixMs(reminder.SendMs!.Value)), $"{reminder.Kind} of {reminder.Subject} does not go out in quiet hours");
            Keep(reminder.EscalateMs is null || reminder.AcknowledgeMs is null || reminder.EscalateMs <= reminder.AcknowledgeMs || studio.WasSetBack, $"{reminder.Kind} of {reminder.Subject} is not handed on after it was acknowledged");
        }
    }

    private void MailArrives(StudioReading session, IReadOnlyList<ReminderRow> reminders)
    {
        var posts = studio.World.Posts.ToLookup(post => post.Reminder);
        foreach (var reminder in reminders.Where(r => r.SendMs is not null))
        {
            Keep(reminder.DeliveryCount > 0, $"{reminder.Kind} of {reminder.Subject} has somewhere to go");
            Keep(reminder.OpenDeliveryCount == 0, $"{reminder.Kind} of {reminder.Subject} arrived everywhere");
        }
        foreach (var reminder in reminders)
        {
            Keep(reminder.SendMs is not null || !posts[reminder.Name].Any(), $"{reminder.Kind} of {reminder.Subject} is not posted before it went out");
            Keep(posts[reminder.Name].All(post => post.State is State.Sent or State.Told || post.IsInterleaved), $"{reminder.Kind} of {reminder.Subject} is not posted after it was withdrawn or acknowledged");
        }
        var arrived = studio.World.Posts.Select(post => $"{post.Reminder} {post.Address}").ToHashSet();
        Keep(session.Query<string>("SELECT reminder || ' ' || address FROM deliveries WHERE delivered_ms IS NOT NULL").All(arrived.Contains), "what is said to have arrived was posted");
    }

    /// <summary>Nobody is told "ready" before the safe time of the forecast that counted when it went out.</summary>
    private void ForecastsFollow(StudioReading session)
    {
        Keep(session.Scalar<long>("SELECT count(*) FROM benches_touched") == 0, "no bench waits for its forecasts");
        if (studio.WasSetBack) return;
        var early = session.Query<string>(
            """
            SELECT r.subject FROM reminders r JOIN forecasts f ON f.piece = r.subject
             WHERE r.kind = @ready AND r.send_ms IS NOT NULL AND f.demold_safe_ms > r.send_ms
               AND f.revision = (SELECT max(g.revision) FROM forecasts g WHERE g.piece = r.subject AND g.forecast_ms <= r.send_ms - 60000)
            """, new { ready = (int)Kind.DemoldReady });
        Keep(early.Count == 0, $"demold is announced at its safe time: {string.Join(' ', early)}");
    }

    private static void Keep(bool isKept, string promise)
    {
        if (!isKept) throw new BrokenPromiseException($"Not so: {promise}.");
    }
}
