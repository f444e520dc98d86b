using System.Globalization;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>SQL of sisters: the other pieces that share a factor with a piece.</summary>
public static class SisterStore
{
    private const string OfMix = "pours.mix = @value";

    private const string OfContainer = "pours.mix IN (SELECT mix FROM container_events WHERE container = @value AND kind = 'mixed')";

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
              JOIN container_events e ON e.container = h.container AND e.kind = 'mixed' AND e.sequence > h.since)
        """;

    private const string OfBenchDay = "pours.bench = @value AND pours.pour_ms >= @fromMs AND pours.pour_ms < @toMs";

    // People work on every site of a studio; a scale stands on one, and two sites may both have a "scale 1".
    private const string OfMixer = "mixes.studio = @studio AND mixes.mixer = @value";

    private const string OfScale = "mixes.site = @site AND mixes.scale = @value";

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
            .. mixes.Select(mix => mix.Mixer).Distinct().Select(mixer => Of(SharedKinds.Mixer, mixer, OfMixer)),
            .. mixes.Where(mix => mix.Scale.Length > 0).Select(mix => (mix.Site, mix.Scale)).Distinct()
                .Select(scale => Of(SharedKinds.Scale, scale.Scale, OfScale, site: scale.Site)),
        ];

        SharedFactor OfDay(BenchDay day)
        {
            var factor = Of(SharedKinds.BenchDay, day.Bench, OfBenchDay, day.FromMs, day.ToMs);
            factor.Value = $"{day.Bench} {day.Day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)}";
            return factor;
        }

        SharedFactor Of(string kind, string value, string condition, long fromMs = 0, long toMs = 0, string site = "") =>
            Factor(kind, value, session.Query<SisterRow>(
                $"""
                SELECT DISTINCT pours.piece, EXISTS (SELECT 1 FROM defects WHERE defects.piece = pours.piece) AS defective
                  FROM pours JOIN mixes ON mixes.name = pours.mix
                 WHERE pours.piece <> @piece AND {condition}
                 ORDER BY defective DESC, pours.piece
                """,
                new { piece = piece.Name, value, studio = piece.Studio, site, fromMs, toMs }));
    }

    private static SharedFactor Factor(string kind, string value, IReadOnlyList<SisterRow> sisters) => new()
    {
        Kind = kind,
        Value = value,
        Pieces = { sisters.Select(sister => sister.Piece) },
        DefectCount = sisters.Count(sister => sister.Defective),
    };

    private sealed record SisterRow(string Piece, bool Defective);
}
