using CsCheck;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using State = Pourwright.V1.Reminder.Types.State;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>Any history of forecasts, waits and sweeps of one piece, replayed in memory. Times in hours; what holds must hold after every event.</summary>
public sealed class ForecastHistoryTests
{
    private static readonly Gen<double?> SafeHour = Gen.Frequency(
        (1, Gen.Const((double?)null)),
        (9, Gen.Int[0, 240].Select(quarters => (double?)(quarters / 4.0))));

    private static readonly Gen<Action<History>> Event = Gen.Frequency<Action<History>>(
        (4, Gen.Select(SafeHour, SafeHour).Select<(double?, double?), Action<History>>(safe => history => history.Forecast(safe.Item1, safe.Item2))),
        (3, Gen.Const<Action<History>>(history => history.Send())),
        (2, Gen.Int[1, 20].Select<int, Action<History>>(quarters => history => history.Wait(quarters / 4.0))),
        (1, Gen.Const<Action<History>>(history => history.Acknowledge())));

    [Fact]
    public void AnyHistory_TellsEachDecisionOnceNeverEarlyAndCorrectsItInTheOpen() => Event.Array[1, 40].Sample(events =>
    {
        var history = new History();
        foreach (var happens in events)
        {
            happens(history);
            history.Check();
        }
    }, iter: 5_000);

    private sealed class History
    {
        private const double Session = 40;
        private const double Swing = 2;

        private static readonly Kind[] Ready = [Kind.DemoldReady, Kind.HandleReady];

        private static readonly SiteRecord Site = new()
        {
            Name = "studios/alder/sites/north",
            Studio = "studios/alder",
            DisplayName = "North",
            TimeZone = "Europe/Lisbon",
            QuietStartMinute = 0,
            QuietEndMinute = 0,
            ReminderSwingMs = Ms(Swing),
            DewPointMarginCelsius = 3,
            Etag = "1",
        };

        private readonly List<ReminderRecord> _all = [];
        private readonly Dictionary<Kind, double?> _safe = [];
        private double _now;
        private int _correctedInTheOpen;

        public void Wait(double hours) => _now += hours;

        public void Forecast(double? demold, double? handle)
        {
            (_safe[Kind.DemoldReady], _safe[Kind.HandleReady]) = (demold, handle);
            var news = new ForecastNews(
                Site.Studio, Site.Name, "studios/alder/pieces/walnut-7", "Walnut 7", Ms(Session), Ms(demold), Ms(handle), false, 60);
            Apply(ForecastReminders.Decide(news, new(Piece.Types.State.Curing, 0, null, false), _all, Site, Ms(_now)));
        }

        public void Send()
        {
            foreach (var due in _all.Where(r => r.State == State.Pending && r.RemindMs <= Ms(_now)).ToList())
            {
                // Never early: the newest forecast says safe, now or before.
                if (Ready.Contains(due.Kind)) Assert.True(_safe[due.Kind] <= _now);
                Set(due.Name, r => r with { State = State.Sent, SendMs = Ms(_now) });
            }
        }

        public void Acknowledge()
        {
            if (_all.FirstOrDefault(r => r.State == State.Sent) is { } sent) Set(sent.Name, r => r with { State = State.Acknowledged });
        }

        public void Check()
        {
            foreach (var kind in Ready.Append(Kind.AtRisk)) Assert.True(_all.Count(r => r.Kind == kind && r.IsLive) <= 1);
            // Each one taken back after somebody was told has exactly one notice, and no other has any.
            Assert.Equal(_correctedInTheOpen, _all.Count(r => r.Kind == Kind.Withdrawn));
            Assert.Equal(
                _all.Where(r => r.State == State.Withdrawn && r.SendMs is not null).Select(r => r.Name).Order(),
                _all.Where(r => r.Kind == Kind.Withdrawn).Select(r => r.Subject).Order());
            // What waits waits for the newest safe time.
            Assert.All(_all.Where(r => r.State == State.Pending && Ready.Contains(r.Kind)), r => Assert.Equal(Ms(_safe[r.Kind]), r.RemindMs));
        }

        private void Apply(ReminderChanges changes)
        {
            foreach (var withdrawal in changes.Withdrawals)
            {
                if (_all.Single(r => r.Name == withdrawal.Name).IsOut) _correctedInTheOpen++;
                Set(withdrawal.Name, r => r with { State = State.Withdrawn });
            }
            foreach (var move in changes.Moves) Set(move.Name, r => r with { RemindMs = move.RemindMs, Text = move.Text });
            foreach (var draft in changes.Drafts) _all.Add(new ReminderRecord
            {
                Name = $"reminder-{_all.Count}",
                Studio = draft.Studio,
                Site = draft.Site,
                Kind = draft.Kind,
                State = State.Pending,
                Subject = draft.Subject,
                Text = draft.Text,
                RecipientRole = draft.RecipientRole,
                RemindMs = draft.RemindMs,
            });
        }

        private void Set(string name, Func<ReminderRecord, ReminderRecord> change)
        {
            var place = _all.FindIndex(r => r.Name == name);
            _all[place] = change(_all[place]);
        }

        private static long Ms(double hours) => (long)(hours * 3_600_000);

        private static long? Ms(double? hours) => hours is { } h ? Ms(h) : null;
    }
}
