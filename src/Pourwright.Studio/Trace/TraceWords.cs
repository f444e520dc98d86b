using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>How a trace says quantities, times and kinds.</summary>
public static class TraceWords
{
    /// <summary>What stands where nothing is recorded. No record is no evidence of innocence.</summary>
    public const string Unknown = "unknown";

    /// <summary>Grams, to the milligram: "1,200.5 g".</summary>
    public static string Grams(long massMg) => (massMg / 1000m).ToString("#,##0.### g", CultureInfo.InvariantCulture);

    /// <summary>A quantity with one decimal and its unit; unknown where absent.</summary>
    public static string Quantity(double? value, string unit) =>
        value is { } known ? $"{known.ToString("0.#", CultureInfo.InvariantCulture)} {unit}" : Unknown;

    /// <summary>Local time with its offset: "7 Mar 2026 14:05 +01:00".</summary>
    public static string Local(Timestamp? instant, TimeZoneInfo zone) => instant is null
        ? Unknown
        : In(zone, instant).ToString("d MMM yyyy HH:mm zzz", CultureInfo.InvariantCulture);

    /// <summary>Local time for a table: "Sat 7 Mar 10:00"; in full where year or offset differ from those of the trace.</summary>
    public static string Brief(Timestamp? instant, TimeZoneInfo zone, Timestamp traceTime)
    {
        if (instant is null) return Unknown;
        var (time, trace) = (In(zone, instant), In(zone, traceTime));
        return time.Year == trace.Year && time.Offset == trace.Offset
            ? time.ToString("ddd d MMM HH:mm", CultureInfo.InvariantCulture)
            : Local(instant, zone);
    }

    /// <summary>What the brief times of a trace leave out: "Europe/Vienna, +01:00 in 2026 unless it says otherwise".</summary>
    public static string Clock(TimeZoneInfo zone, Timestamp traceTime) =>
        $"{zone.Id}, {In(zone, traceTime).ToString("zzz 'in' yyyy", CultureInfo.InvariantCulture)} unless it says otherwise";

    /// <summary>Local day: "7 Mar 2026".</summary>
    public static string LocalDay(Timestamp instant, TimeZoneInfo zone) =>
        In(zone, instant).ToString("d MMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>A day of the calendar: "7 Mar 2026"; unknown where absent.</summary>
    public static string Day(Google.Type.Date? day) => day is null
        ? Unknown
        : new DateOnly(day.Year, day.Month, day.Day).ToString("d MMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>How far the hardener lies from its target: "+1.2 %".</summary>
    public static string Deviation(Mix mix) => mix.RatioDeviationPercent.ToString("+0.0 '%';-0.0 '%';0.0 '%'", CultureInfo.InvariantCulture);

    /// <summary>A count in digits.</summary>
    public static string Number(int count) => count.ToString(CultureInfo.InvariantCulture);

    /// <summary>A time span in minutes below an hour, hours and minutes below two days, days and hours above.</summary>
    public static string Span(TimeSpan span) => span.Duration() switch
    {
        { TotalMinutes: < 60 } s => $"{(int)s.TotalMinutes} min",
        { TotalHours: < 48 } s => s.Minutes == 0 ? $"{(int)s.TotalHours} h" : $"{(int)s.TotalHours} h {s.Minutes} min",
        var s => s.Hours == 0 ? $"{s.Days} d" : $"{s.Days} d {s.Hours} h",
    };

    /// <summary>"3 h after" or "20 min before".</summary>
    public static string Against(Timestamp instant, Timestamp reference)
    {
        var late = instant.ToDateTimeOffset() - reference.ToDateTimeOffset();
        return $"{Span(late)} {(late < TimeSpan.Zero ? "before" : "after")}";
    }

    private static DateTimeOffset In(TimeZoneInfo zone, Timestamp instant) => TimeZoneInfo.ConvertTime(instant.ToDateTimeOffset(), zone);

    /// <summary>"a, b and c".</summary>
    public static string List(IReadOnlyList<string> items) => items.Count switch
    {
        0 => "",
        1 => items[0],
        _ => $"{string.Join(", ", items.Take(items.Count - 1))} and {items[^1]}",
    };

    /// <summary>"1 piece", "2 pieces", "no pieces".</summary>
    public static string Count(int count, string noun, string? plural = null) =>
        $"{(count == 0 ? "no" : count.ToString(CultureInfo.InvariantCulture))} {(count == 1 ? noun : plural ?? noun + "s")}";

    /// <summary>The text, or unknown.</summary>
    public static string OrUnknown(string text) => text.Length == 0 ? Unknown : text;

    /// <summary>A sentence begins with a capital.</summary>
    public static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    public static string Of(Part part) => part switch
    {
        Part.A => "resin (A)",
        Part.B => "hardener (B)",
        Part.Pigment => "pigment",
        _ => Unknown,
    };

    public static string Of(Gate gate) => gate switch
    {
        Gate.Gel => "gel",
        Gate.Demold => "demold",
        Gate.Handle => "handle",
        Gate.Sand => "sand",
        Gate.FirstGel => "first gel",
        Gate.Recoat => "second coat",
        Gate.HandOver => "hand-over",
        Gate.FullCure => "full cure",
        _ => Unknown,
    };

    public static string Of(Check.Types.Touch touch) => touch switch
    {
        Check.Types.Touch.Tacky => "tacky",
        Check.Types.Touch.Soft => "soft",
        Check.Types.Touch.Firm => "firm",
        _ => "not tried",
    };

    public static string Of(Step.Types.Kind kind) => kind switch
    {
        Step.Types.Kind.Move => "moved",
        Step.Types.Kind.Demold => "demolded",
        Step.Types.Kind.Saw => "sawn",
        Step.Types.Kind.Plane => "planed",
        Step.Types.Kind.Sand => "sanded",
        Step.Types.Kind.Finish => "finished",
        Step.Types.Kind.HandOver => "handed over",
        Step.Types.Kind.Scrap => "scrapped",
        _ => Unknown,
    };

    public static string Of(Piece.Types.State state) => state switch
    {
        Piece.Types.State.Prepared => "prepared, nothing poured",
        Piece.Types.State.Curing => "curing in its mould",
        Piece.Types.State.Demolded => "demolded",
        Piece.Types.State.HandedOver => "handed over",
        Piece.Types.State.Scrapped => "scrapped",
        _ => Unknown,
    };

    public static string Of(Container.Types.State state) => state switch
    {
        Container.Types.State.Sealed => "sealed",
        Container.Types.State.Open => "open",
        Container.Types.State.Spent => "spent",
        _ => Unknown,
    };

    public static string Of(Defect.Types.Kind kind) => kind switch
    {
        Defect.Types.Kind.Soft => "soft all through",
        Defect.Types.Kind.SoftPatches => "soft in places",
        Defect.Types.Kind.TackySkin => "greasy or sticky skin",
        Defect.Types.Kind.LowHardness => "takes dents",
        Defect.Types.Kind.Bubbles => "bubbles",
        Defect.Types.Kind.Cracks => "cracks, yellowing or scorch",
        Defect.Types.Kind.Cloudy => "cloudy",
        Defect.Types.Kind.ColourDrift => "another colour than meant",
        Defect.Types.Kind.Delamination => "resin parts from wood",
        Defect.Types.Kind.LayerSplit => "layer parts from layer",
        Defect.Types.Kind.Warp => "bent or cupped",
        Defect.Types.Kind.Leak => "leaked or not filled",
        Defect.Types.Kind.Finish => "finish patchy or sticky",
        Defect.Types.Kind.Other => "something else, see the note",
        _ => Unknown,
    };
}
