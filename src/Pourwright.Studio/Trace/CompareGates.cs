using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>What the forecasts said beside what people saw and did, in words. It judges neither.</summary>
public static class CompareGates
{
    private static readonly Gate[] Gates = [Gate.Gel, Gate.Demold, Gate.Handle, Gate.Sand];

    /// <summary>One comparison a gate; none without a forecast and without anything seen.</summary>
    public static IEnumerable<GateComparison> Decide(PieceFacts facts) => Gates.Select(gate => new GateComparison
    {
        Gate = gate,
        FirstForecast = Of(facts.FirstForecast, gate),
        LastForecast = Of(facts.LastForecast, gate),
        Observation = Observation(facts, gate),
    });

    /// <summary>The warmest surface that people measured.</summary>
    public static string Peak(PieceFacts facts)
    {
        var warmest = facts.Checks.Where(check => check.HasSurfaceTemperatureCelsius).MaxBy(check => check.SurfaceTemperatureCelsius);
        return warmest is null || facts.Pours.Count == 0
            ? TraceWords.Unknown
            : $"Warmest surface measured: {TraceWords.Quantity(warmest.SurfaceTemperatureCelsius, "°C")}, " +
              $"{TraceWords.Local(warmest.CheckTime, facts.Zone)}, " +
              $"{TraceWords.Against(warmest.CheckTime, facts.Pours[0].Pour.PourTime)} the first pour. The middle may have been hotter.";
    }

    private static GateForecast? Of(Forecast? forecast, Gate gate) => forecast?.Gates.FirstOrDefault(each => each.Gate == gate);

    private static string Observation(PieceFacts facts, Gate gate)
    {
        Check[] touches = [.. facts.Checks.Where(check => check.Touch != Check.Types.Touch.Unspecified)];
        var act = facts.Steps.FirstOrDefault(step => Needs(step.Kind, gate));
        var safe = Of(facts.LastForecast, gate)?.SafeTime;
        if (act is null) return gate == Gate.Gel ? Touched("First", touches.FirstOrDefault()) : Touched("Latest", touches.LastOrDefault());
        var before = touches.LastOrDefault(touch => touch.CheckTime <= act.StepTime);
        var done = $"{TraceWords.Capital(TraceWords.Of(act.Kind))} {TraceWords.Local(act.StepTime, facts.Zone)} by {act.Worker}";
        return $"{done}{AgainstSafe(act.StepTime)}. " + (before is null ? "No touch test before it." : $"Last touch test before it: {Said(before)}.");

        string Touched(string which, Check? touch) =>
            touch is null ? TraceWords.Unknown : $"{which} touch test: {Said(touch)}{AgainstSafe(touch.CheckTime)}.";
        string Said(Check touch) => $"{TraceWords.Of(touch.Touch)}, {TraceWords.Local(touch.CheckTime, facts.Zone)}";
        string AgainstSafe(Google.Protobuf.WellKnownTypes.Timestamp time) =>
            safe is null ? "" : $", {TraceWords.Against(time, safe)} the safe time";
    }

    private static bool Needs(Step.Types.Kind kind, Gate gate) => gate switch
    {
        Gate.Demold => kind == Step.Types.Kind.Demold,
        Gate.Handle => kind is Step.Types.Kind.Saw or Step.Types.Kind.Plane,
        Gate.Sand => kind == Step.Types.Kind.Sand,
        _ => false,
    };
}
