using System.Text.Json;
using Pourwright.Cure.Ladder;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Forecasts;

/// <summary>When something is reached, Unix ms: early, middle and late in the spread; null where it never is.</summary>
public sealed record TimeRange(long? EarliestMs, long? LikelyMs, long? SafeMs);

/// <summary>Why a gate has no safe time, see <see cref="Stalls"/>.</summary>
public sealed record StallRow(double RoomCelsius, double ReachedConversion, double WantedConversion);

/// <summary>What a forecast says beside gel, demold, handle and sand, which have columns of their own; Unix ms.</summary>
public sealed record LadderRest
{
    public TimeRange? FirstGel { get; init; }
    public TimeRange? Recoat { get; init; }
    public TimeRange? HandOver { get; init; }
    public TimeRange? FullCure { get; init; }

    /// <summary>When a further layer may follow; null together with <see cref="Closes"/> for a forecast of before the ladder.</summary>
    public TimeRange? Opens { get; init; }

    public TimeRange? Closes { get; init; }

    /// <summary>The time that suits most cases; null where none has a window.</summary>
    public long? BestMs { get; init; }

    public double BestShare { get; init; }

    /// <summary>Gates without a safe time.</summary>
    public IReadOnlyDictionary<V1.Gate, StallRow> Stalls { get; init; } = new Dictionary<V1.Gate, StallRow>();

    /// <summary>The window as the protocol tells it; null where nothing is known of it.</summary>
    public V1.LayerWindow? Window() => (Opens, Closes) is not ({ } opens, { } closes) ? null : new()
    {
        OpensEarliestTime = Instants.ToTimestamp(opens.EarliestMs),
        OpensLikelyTime = Instants.ToTimestamp(opens.LikelyMs),
        OpensSafeTime = Instants.ToTimestamp(opens.SafeMs),
        ClosesEarliestTime = Instants.ToTimestamp(closes.EarliestMs),
        ClosesLikelyTime = Instants.ToTimestamp(closes.LikelyMs),
        BestTime = Instants.ToTimestamp(BestMs),
        BestShareRatio = BestShare,
    };
}

/// <summary>The rest of the ladder in a column: it is read with its forecast and never asked for by SQL.</summary>
public static class LadderJson
{
    public static string Write(LadderRest rest) => JsonSerializer.Serialize(rest);

    public static LadderRest Read(string json) => JsonSerializer.Deserialize<LadderRest>(json)!;
}
