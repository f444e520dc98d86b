using Pourwright.Studio.Storage;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.StudentLinks;

/// <summary>What one revision of a forecast told of saw and planer; the time in Unix ms, null for none.</summary>
public sealed record ForecastStep
{
    public required Cause Cause { get; init; }
    public required long ForecastMs { get; init; }
    public long? HandleSafeMs { get; init; }
}

/// <summary>The last time that a student's time for saw and planer moved.</summary>
public static class LastMove
{
    /// <summary>Less is not worth a word.</summary>
    private const long WorthTellingMs = 15 * 60_000;

    /// <param name="steps">Every revision, first to last.</param>
    /// <returns>Null where it stands as it was told first.</returns>
    public static V1.OwnMove? Of(IReadOnlyList<ForecastStep> steps)
    {
        if (steps.Count == 0) return null;
        var (told, move) = (steps[0].HandleSafeMs, (V1.OwnMove?)null);
        foreach (var step in steps.Skip(1).Where(step => Differs(told, step.HandleSafeMs)))
        {
            move = new()
            {
                Cause = step.Cause,
                KnowTime = Instants.ToTimestamp(step.ForecastMs),
                BeforeTime = Instants.ToTimestamp(told),
                AfterTime = Instants.ToTimestamp(step.HandleSafeMs),
            };
            told = step.HandleSafeMs;
        }
        return move;

        bool Differs(long? before, long? now) => before is { } was && now is { } becomes ? Math.Abs(becomes - was) >= WorthTellingMs : before != now;
    }
}
