using Ical.Net;
using Ical.Net.CalendarComponents;
using Ical.Net.DataTypes;
using NodaTime;
using NodaTime.Extensions;
using NodaTime.TimeZones;
using Duration = NodaTime.Duration;

namespace Pourwright.Studio.Calendars;

/// <summary>The clock changes of a zone over a span of time, as a VTIMEZONE (RFC 5545 3.6.5).</summary>
/// <remarks>
/// One yearly rule a direction wherever the zone follows one: some clients keep no more than that. A rule that held before the
/// span is left out; what follows no rule, as where clocks go by the moon, is written onset by onset. The calendar library's own
/// `VTimeZone.FromDateTimeZone` (Ical.Net 5.2.4) writes a rule whatever the data say, and for Dublin and Casablanca, where the
/// exception is the winter and the month of fasting, offsets that are an hour off.
/// </remarks>
internal static class ZoneRules
{
    /// <summary>Told beyond the span, so that a rule shows at least twice; more than two years, no source.</summary>
    private static readonly Duration Beyond = Duration.FromDays(1000);

    /// <summary>The zone as it is from <paramref name="first"/> to <paramref name="last"/>, and some time on.</summary>
    public static VTimeZone Over(DateTimeZone zone, Instant first, Instant last)
    {
        var component = new VTimeZone(zone.Id);
        foreach (var observance in Observances(zone, first, last + Beyond)) component.AddChild(observance);
        return component;
    }

    private static IEnumerable<VTimeZoneInfo> Observances(DateTimeZone zone, Instant first, Instant horizon)
    {
        var lead = Change.Begins(zone, zone.GetZoneInterval(first));
        var changes = zone.GetZoneIntervals(first, horizon).Skip(1).Select(interval => Change.Begins(zone, interval));
        var led = false;
        foreach (var change in changes.GroupBy(change => change with { Onset = default }))
        {
            LocalDateTime[] onsets = [.. change.Select(one => one.Onset)];
            var rule = YearlyRule.Fitting(onsets, change.Key.From, horizon);
            var earlier = rule?.In(onsets[0].Year - 1);
            // The same rule a year earlier says what holds when the span begins, unless it set in later than that.
            var leads = change.Key == lead with { Onset = default } && earlier?.WithOffset(change.Key.From).ToInstant() <= first;
            led |= leads;
            if (rule is not null) yield return Component(change.Key with { Onset = leads ? earlier!.Value : onsets[0] }, rule);
            else foreach (var one in change) yield return Component(one, null);
        }
        if (!led) yield return Component(lead with { From = lead.To, Onset = first.WithOffset(lead.To).LocalDateTime }, null);
    }

    private static VTimeZoneInfo Component(Change change, YearlyRule? rule)
    {
        var component = new VTimeZoneInfo(change.IsForward ? "DAYLIGHT" : "STANDARD")
        {
            Start = new CalDateTime(change.Onset.ToDateTimeUnspecified(), hasTime: true),
            OffsetFrom = new UtcOffset(change.From.ToTimeSpan()),
            OffsetTo = new UtcOffset(change.To.ToTimeSpan()),
            TimeZoneName = change.Name,
        };
        if (rule is not null) component.RecurrenceRule = rule.ToRecurrence();
        return component;
    }

    /// <summary>Clocks are set from one offset to another when they show <paramref name="Onset"/>, still by the old offset.</summary>
    /// <param name="IsForward">Daylight saving begins, or an exception that set clocks back ends.</param>
    private sealed record Change(LocalDateTime Onset, Offset From, Offset To, string Name, bool IsForward)
    {
        public static Change Begins(DateTimeZone zone, ZoneInterval interval)
        {
            if (!interval.HasStart) return new(default, interval.WallOffset, interval.WallOffset, interval.Name, false);
            var before = zone.GetZoneInterval(interval.Start - Duration.Epsilon);
            return new(interval.Start.WithOffset(before.WallOffset).LocalDateTime, before.WallOffset, interval.WallOffset,
                interval.Name, interval.Savings > before.Savings);
        }
    }

    /// <summary>Every year on a weekday of a month, counted from the first; 5 is the last.</summary>
    private sealed record YearlyRule(int Month, int Occurrence, IsoDayOfWeek Weekday, LocalTime Time)
    {
        private const int Last = 5;

        /// <summary>The rule that gives these onsets, and no other before the horizon; null where there is none.</summary>
        public static YearlyRule? Fitting(LocalDateTime[] onsets, Offset from, Instant horizon) => onsets.Length < 2
            ? null
            : new[] { Last, (onsets[0].Day + 6) / 7 }
                .Select(occurrence => new YearlyRule(onsets[0].Month, occurrence, onsets[0].DayOfWeek, onsets[0].TimeOfDay))
                .FirstOrDefault(rule => rule.From(onsets[0].Year).TakeWhile(onset => onset.WithOffset(from).ToInstant() < horizon).SequenceEqual(onsets));

        public LocalDateTime In(int year) => LocalDate.FromYearMonthWeekAndDay(year, Month, Occurrence, Weekday) + Time;

        public RecurrenceRule ToRecurrence() => new(FrequencyType.Yearly)
        {
            ByMonth = [Month],
            ByDay = [new WeekDay(Weekday.ToDayOfWeek(), Occurrence == Last ? -1 : Occurrence)],
        };

        private IEnumerable<LocalDateTime> From(int year) => Enumerable.Range(year, 1000).Select(In);
    }
}
