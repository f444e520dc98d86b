using Pourwright.Cure.Learning;
using Pourwright.Studio.Pieces;
using Touch = Pourwright.V1.Check.Types.Touch;

namespace Pourwright.Studio.Forecasts.Learning;

/// <summary>What people recorded, in the terms of what learns.</summary>
public static class LearningTerms
{
    /// <summary>All that one check saw, at hours after the first pour. Thickness says nothing of the cure.</summary>
    public static IReadOnlyList<Observation> Observations(CheckRecord check, double atHours)
    {
        List<Observation> seen = [];
        if (FeltOf(check.Touch) is { } felt) seen.Add(new TouchSeen(atHours, felt));
        if (check.ShoreD is { } shoreD) seen.Add(new ShoreSeen(atHours, shoreD));
        if (check.ShoreDBelowScale) seen.Add(new ShoreBelowScale(atHours));
        if (check.SurfaceTemperatureCelsius is { } celsius) seen.Add(new SurfaceSeen(atHours, celsius));
        return seen;
    }

    /// <summary>
    /// A piece was taken out of its mould and nobody wrote down how it felt: whoever did it found it ready by then, and not ready
    /// when it was last felt soft. Empty where a touch within <see cref="TouchSpeaksFor"/> before says more.
    /// </summary>
    /// <param name="atHours">Of the demolding, after the first pour.</param>
    /// <param name="touches">Hours after the first pour and whether it was firm, in order.</param>
    public static IReadOnlyList<Observation> Demolded(double atHours, IReadOnlyList<(double AtHours, bool IsFirm)> touches)
    {
        var before = touches.Where(touch => touch.AtHours <= atHours).ToList();
        if (before is [.., var last] && atHours - last.AtHours <= TouchSpeaksFor.TotalHours) return [];
        var notReady = before.Where(touch => !touch.IsFirm).Select(touch => (double?)touch.AtHours).LastOrDefault();
        return [new GateSeen(CureGate.Demold, notReady, atHours)];
    }

    /// <summary>A touch this close before a demolding is the test that it rested on. Common practice, no source.</summary>
    private static readonly TimeSpan TouchSpeaksFor = TimeSpan.FromHours(2);

    private static Cure.Learning.Touch? FeltOf(Touch touch) => touch switch
    {
        Touch.Tacky => Cure.Learning.Touch.Tacky,
        Touch.Soft => Cure.Learning.Touch.Soft,
        Touch.Firm => Cure.Learning.Touch.Firm,
        _ => null,
    };
}
