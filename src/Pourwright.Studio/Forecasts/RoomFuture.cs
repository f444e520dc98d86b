using Pourwright.Studio.Climate;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Forecasts;

/// <summary>How the air of a bench goes on from its last reading.</summary>
/// <param name="FromMs">The last reading, or since when the piece stands there.</param>
/// <param name="Air">Hour by hour and at every bend, past the horizon.</param>
/// <param name="Words">What was taken, and how sure it is.</param>
/// <param name="Doubt">How sure it is, also where it was read.</param>
internal sealed record RoomFuture(long FromMs, IReadOnlyList<(long Ms, double Celsius)> Air, string Words, RoomDoubt Doubt)
{
    private const long HourMs = 3_600_000;

    /// <summary>By what is said of the air to come, from its first point to its last; before and after by the rules of a room of which nothing is said.</summary>
    public static RoomFuture Of(BenchStay here, long nowMs, long horizonMs)
    {
        var curve = AirCurve.Of(here.Readings);
        var start = new Start(
            here, curve ?? Level(here), curve is null ? Assumed(here) : RoomRules.Of(here, curve, nowMs),
            Math.Max(curve?.LastMs ?? here.FromMs, here.FromMs), nowMs, horizonMs);
        var outlook = RoomOutlook.Of(here, curve, start.FromMs, horizonMs);
        var (air, words) = outlook is null ? (start.GoesOn(start.FromMs, horizonMs), start.Rule.Words) : Follow(start, outlook, curve is null);
        var doubt = DoubtOf(here, curve, start, outlook);
        return new(start.FromMs, [.. air], $"{words}{Silence(here, curve, nowMs)} {Sureness(curve, doubt)}", doubt);
    }

    /// <summary>Where and how a room goes on without an outlook.</summary>
    private sealed record Start(BenchStay Here, AirCurve Curve, RoomRule Rule, long FromMs, long NowMs, long HorizonMs)
    {
        public IEnumerable<(long Ms, double Celsius)> GoesOn(long fromMs, long toMs)
        {
            var at = Rule.GoesOn(Curve, fromMs);
            return RoomRules.Hourly(fromMs, toMs).Select(ms => (ms, at(ms)));
        }
    }

    private static (IEnumerable<(long, double)> Air, string Words) Follow(Start start, RoomOutlook outlook, bool unread)
    {
        var beginMs = Math.Max(start.FromMs, outlook.FromMs);
        var celsius = unread && outlook.IsHeating ? outlook.RestCelsius(beginMs) : start.Rule.GoesOn(start.Curve, start.FromMs)(beginMs);
        List<(long Ms, double Celsius)> air =
        [
            .. start.GoesOn(start.FromMs, beginMs).Where(point => point.Ms < beginMs),
            .. outlook.Air(celsius, beginMs, Math.Min(outlook.ToMs, start.HorizonMs + HourMs)),
        ];
        var words = outlook.Words + (beginMs > Math.Max(start.FromMs, start.NowMs)
            ? $" It begins in {Spoken.Span(beginMs - Math.Max(start.FromMs, start.NowMs))}; until then: {start.Rule.Words}"
            : "");
        if (outlook.ToMs >= start.HorizonMs) return (air, words);
        var after = After(start, air);
        var on = after.Rule.Repeats ? "the last day repeats" : "the last temperature holds";
        return ([.. air, .. after.GoesOn(after.FromMs, start.HorizonMs).Skip(1)], $"{words} Where it ends, {on}.");
    }

    /// <summary>At the end of an outlook the same rules hold, as if it had been read.</summary>
    private static Start After(Start start, List<(long Ms, double Celsius)> air)
    {
        var asRead = start.Here with
        {
            Readings =
            [
                .. start.Here.Readings,
                .. air.Where(point => point.Ms > start.Curve.LastMs).Select(point => new ReadingRecord { ReadingMs = point.Ms, TemperatureCelsius = point.Celsius }),
            ],
            IntervalMs = Math.Max(start.Here.IntervalMs, HourMs),
        };
        var (curve, endMs) = (AirCurve.Of(asRead.Readings)!, air[^1].Ms);
        return new Start(asRead, curve, RoomRules.Of(asRead, curve, endMs), endMs, endMs, start.HorizonMs);
    }

    private static AirCurve Level(BenchStay here) => AirCurve.Of(
        [new ReadingRecord { ReadingMs = here.FromMs, TemperatureCelsius = here.PlannedCelsius ?? RoomForecast.UnknownRoomCelsius }])!;

    private static RoomRule Assumed(BenchStay here) => RoomRules.Hold(Level(here), here.PlannedCelsius is { } planned
        ? $"No reading at this bench: its planned {Spoken.Degrees(planned)} throughout."
        : $"No reading at this bench and no planned temperature: {Spoken.Degrees(RoomForecast.UnknownRoomCelsius)} throughout.");

    private static RoomDoubt DoubtOf(BenchStay here, AirCurve? curve, Start start, RoomOutlook? outlook)
    {
        if (curve is null) return RoomDoubt.Unread(outlook?.IsHeating ?? here.PlannedCelsius is not null);
        var follows = outlook is { IsFitted: true } && outlook.FromMs <= start.FromMs;
        return RoomDoubt.Of(curve, here.IntervalMs, follows ? outlook!.Rule : start.Rule);
    }

    private static string Silence(BenchStay here, AirCurve? curve, long nowMs) =>
        curve is not null && BenchClimateNow.IsSilent(curve.LastMs, here.IntervalMs, Instants.FromUnixMs(nowMs))
            ? $" Its sensor has been silent for {Spoken.Span(nowMs - curve.LastMs)}."
            : "";

    private static string Sureness(AirCurve? curve, RoomDoubt doubt) => curve is null
        ? $"Nobody measures it: off by {Spoken.Kelvin(doubt.AheadKelvin(0))} or so."
        : $"Off by {Spoken.Kelvin(RoomDoubt.ReadKelvin)} or so where it was read, {Spoken.Kelvin(doubt.AheadKelvin(6))} six hours on, "
            + $"{Spoken.Kelvin(doubt.AheadKelvin(48))} two days on.";
}
