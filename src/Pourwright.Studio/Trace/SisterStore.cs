using System.Globalization;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>SQL of sisters: the other pieces that share a factor with a piece.</summary>
public static class SisterStore
{
    /// <summary>Others that are named; more are counted.</summary>
    public const int NamedMax = 1000;

    /// <summary>Around a mix; who has mixed for years shares little with all of it. Common practice, no source.</summary>
    private static readonly TimeSpan AroundMix = TimeSpan.FromDays(90);

    private const string OfMix = "pours.mix = @value";

    private const string OfContainer = "pours.mix IN (SELECT mix FROM current_events WHERE container = @value AND kind = 'mixed')";

    private const string OfLot =
        """
        pours.mix IN (
            WITH RECURSIVE holding (container, since) AS (
                SELECT container, sequence FROM container_events WHERE lot = @value AND kind = 'received'
                 UNION
                SELECT e.container, e.sequence
                  FROM holding h
                  JOIN container_events e ON e.other_container = h.container AND e.kind = 'filled' AND e.sequence > h.since)
            SELECT e.mix
              FROM holding h
              JOIN current_events e ON e.container = h.container AND e.kind = 'mixed' AND e.recorded_sequence > h.since AND e.sequence > h.since)
        """;

    private const string OfBenchDay = "pours.bench = @value AND pours.pour_ms >= @fromMs AND pours.pour_ms < @toMs";

    // People work on every site of a studio; a scale stands on one, and two sites may both have a "scale 1".
    private const string OfMixer = "mixes.studio = @studio AND mixes.mixer = @value AND mixes.mix_ms BETWEEN @fromMs AND @toMs";

    private const string OfScale = "mixes.studio = @studio AND mixes.site = @site AND mixes.scale = @value AND mixes.mix_ms BETWEEN @fromMs AND @toMs";

    /// <summary>A factor a row, also where nobody else shares it; within a kind in the order of the pours.</summary>
    public static IReadOnlyList<SharedFactor> Load(StudioSession session, PieceRecord piece, IReadOnlyList<PourFacts> pours, TimeZoneInfo zone)
    {
        var mixes = pours.Select(pour => pour.Mix).DistinctBy(mix => mix.Name).ToList();
        var draws = pours.SelectMany(pour => pour.Draws).ToList();
        return
        [
            .. mixes.Select(mix => Of(SharedKinds.Mix, mix.Name, OfMix)),
            .. draws.Select(draw => draw.Draw.Container).Distinct().Select(container => Of(SharedKinds.Container, container, OfContainer)),
            .. draws.SelectMany(draw => draw.Lots).Select(lot => lot.Name).Distinct().Select(lot => Of(SharedKinds.Lot, lot, OfLot)),
            .. pours.Select(pour => BenchDay.Of(pour.Pour, zone)).Distinct().Select(OfDay),
            .. mixes.GroupBy(mix => mix.Mixer).Select(mixed => OfTime(SharedKinds.Mixer, mixed.Key, OfMixer, mixed)),
            .. mixes.Where(mix => mix.Scale.Length > 0).GroupBy(mix => (mix.Site, mix.Scale))
                .Select(weighed => OfTime(SharedKinds.Scale, weighed.Key.Scale, OfScale, weighed, weighed.Key.Site)),
        ];

        SharedFactor OfTime(string kind, string value, string condition, IEnumerable<Mix> around, string site = "")
        {
            var times = around.Select(mix => mix.MixTime.ToDateTimeOffset()).ToList();
            return Of(kind, value, condition, (times.Min() - AroundMix).ToUnixMs(), (times.Max() + AroundMix).ToUnixMs(), site);
        }

        SharedFactor OfDay(BenchDay day)
        {
            var factor = Of(SharedKinds.BenchDay, day.Bench, OfBenchDay, day.FromMs, day.ToMs);
            factor.Value = $"{day.Bench} {day.Day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)}";
            return factor;
        }

        SharedFactor Of(string kind, string value, string condition, long fromMs = 0, long toMs = 0, string site = "") =>
            Factor(kind, value, session.Query<SisterRow>(
                $"""
                SELECT piece, count(*) OVER () AS pieces, sum(defective) OVER () AS defects
                  FROM (SELECT DISTINCT pours.piece,
                               CASE WHEN EXISTS (SELECT 1 FROM defects WHERE defects.piece = pours.piece) THEN 1 ELSE 0 END AS defective
                          FROM current_pours pours JOIN mixes ON mixes.name = pours.mix
                         WHERE pours.piece <> @piece AND {condition}) AS sisters
                 ORDER BY defective DESC, piece LIMIT {NamedMax}
                """,
                new { piece = piece.Name, value, studio = piece.Studio, site, fromMs, toMs }));
    }

    private static SharedFactor Factor(string kind, string value, IReadOnlyList<SisterRow> sisters) => new()
    {
        Kind = kind,
        Value = value,
        Pieces = { sisters.Select(sister => sister.Piece) },
        PieceCount = sisters.Count == 0 ? 0 : sisters[0].Pieces,
        DefectCount = sisters.Count == 0 ? 0 : sisters[0].Defects,
    };

    private sealed record SisterRow(string Piece, int Pieces, int Defects);
}
