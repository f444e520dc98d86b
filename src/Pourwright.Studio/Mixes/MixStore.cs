using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Mixes;

/// <summary>SQL of the mixes.</summary>
public static class MixStore
{
    private const string Columns =
        """
        SELECT m.name, m.studio, m.site, m.resin_system, m.mix_ms, m.mixer, m.scale, m.temperature_celsius, m.deviation_reason,
               m.a_mass_mg, m.b_mass_mg, m.pigment_mass_mg, m.hardener_parts_per_100_resin, m.ratio_deviation_percent,
               m.pot_life_end_ms, m.cautions, m.record_ms,
               CASE WHEN m.did_not_occur = 1 THEN 0 ELSE m.a_mass_mg + m.b_mass_mg + m.pigment_mass_mg
                   - coalesce((SELECT CAST(sum(p.mass_mg) AS BIGINT) FROM current_pours p WHERE p.mix = m.name), 0)
                   - coalesce((SELECT CAST(sum(d.mass_mg) AS BIGINT) FROM mix_discards d WHERE d.mix = m.name), 0) END AS remaining_mass_mg,
               m.did_not_occur
          FROM corrected_mixes m
        """;

    public static MixRecord? FindMix(StudioSession session, string name) =>
        session.Find<MixRecord>($"{Columns} WHERE m.name = @name", new { name });

    /// <exception cref="Refusals.Refusal">MIX_NOT_FOUND.</exception>
    public static MixRecord GetMix(StudioSession session, string name) =>
        FindMix(session, name) ?? throw ResourceKind.Mix.NotFound(name);

    /// <summary>Those of many names, by name.</summary>
    public static IReadOnlyList<MixRecord> GetMixes(StudioSession session, IEnumerable<string> names) =>
        [.. names.Order(StringComparer.Ordinal).Chunk(NamesMax).SelectMany(some => session.Query<MixRecord>(
            $"{Columns} WHERE m.name IN @some ORDER BY m.name", new { some }))];

    /// <summary>Names a statement: far below the number of parameters that an engine takes.</summary>
    private const int NamesMax = 500;

    /// <summary>By name.</summary>
    /// <param name="site">Only those mixed there; all where empty.</param>
    /// <param name="fromMs">Only those mixed then or later.</param>
    public static IReadOnlyList<MixRecord> ListMixes(StudioSession session, string studio, string site, long fromMs, PageRequest page) =>
        session.Query<MixRecord>(
            $"""
            {Columns}
             WHERE {(fromMs > 0 ? "m.studio = @studio AND m.mix_ms >= @fromMs" : "m.name < @end")} AND m.name > @after
               AND (@site = '' OR m.site = @site)
             ORDER BY m.name LIMIT @limit
            """,
            new { studio, site, fromMs, after = page.After is null ? $"{studio}/mixes/" : page.AfterText, end = EndOfMixes(studio), limit = page.Limit });

    /// <summary>Past the last name of the studio's: asked by names alone a page costs the same however many there are, while by studio every mix of it would be read and sorted.</summary>
    private static string EndOfMixes(string studio) => $"{studio}/mixes{(char)('/' + 1)}";

    /// <summary>A mix with its draws, what is left of it and what was corrected.</summary>
    public static Mix ToProto(StudioSession session, MixRecord mix) =>
        mix.ToProto(
            LotStore.Draws(session, mix.Name).Select(draw => (draw.Container, draw.MassMg)), CorrectionStore.OfMix(session, mix.Name));

    /// <summary>The draws of a mix that stand; of one that did not occur, those that stood before that was said.</summary>
    public static IReadOnlyList<RecordedDraw> RecordedDraws(StudioSession session, MixRecord mix) => session.Query<RecordedDraw>(
        """
        SELECT e.container, c.part, -e.mass_mg AS mass_mg, coalesce(e.place, e.sequence) AS place, e.sequence AS recorded_sequence,
               e.event_ms, CASE WHEN x.sequence IS NULL THEN 1 ELSE 0 END AS stands
          FROM container_events e
          JOIN containers c ON c.name = e.container
          LEFT JOIN container_events x ON x.corrects = e.sequence
         WHERE e.mix = @mix AND e.kind = 'mixed' AND (x.sequence IS NULL OR x.correction = @undone)
         ORDER BY place
        """,
        new { mix = mix.Name, undone = mix.DidNotOccur ? CorrectionStore.Latest(session, mix.Name)!.Sequence : 0 });

    /// <summary>The pours from a mix that stand, and what left it, in mg.</summary>
    public static (IReadOnlyList<string> Pours, long LeftMassMg) LeftFrom(StudioSession session, string mix) => (
        session.Query<string>("SELECT name FROM current_pours WHERE mix = @mix ORDER BY pour_ms, name", new { mix }),
        session.Scalar<long>(
            """
            SELECT coalesce((SELECT CAST(sum(mass_mg) AS BIGINT) FROM current_pours WHERE mix = @mix), 0)
                 + coalesce((SELECT CAST(sum(mass_mg) AS BIGINT) FROM mix_discards WHERE mix = @mix), 0)
            """, new { mix }));

    /// <summary>Adds a correction with the balances that follow from it.</summary>
    public static void SaveCorrection(StudioTransaction tx, MixCorrection decision)
    {
        var correction = CorrectionStore.Insert(tx, decision.Correction);
        LotStore.Save(tx, [.. decision.Containers.Select(change => change with
        {
            Events = [.. change.Events.Select(happened => happened with { Correction = correction })],
        })]);
        tx.Publish(new MixCorrected(decision.Mix.Name));
    }

    /// <exception cref="Refusals.Refusal">MIX_EXISTS.</exception>
    public static void RequireNewMix(StudioSession session, string name)
    {
        if (FindMix(session, name) is not null) throw ResourceKind.Mix.AlreadyExists(name);
    }

    public static void InsertMix(StudioTransaction tx, MixRecord mix) => tx.Execute(
        """
        INSERT INTO mixes (name, studio, site, resin_system, mix_ms, mixer, scale, temperature_celsius, deviation_reason,
                           a_mass_mg, b_mass_mg, pigment_mass_mg, hardener_parts_per_100_resin, ratio_deviation_percent,
                           pot_life_end_ms, cautions, record_ms)
        VALUES (@Name, @Studio, @Site, @ResinSystem, @MixMs, @Mixer, @Scale, @TemperatureCelsius, @DeviationReason,
                @AMassMg, @BMassMg, @PigmentMassMg, @HardenerPartsPer100Resin, @RatioDeviationPercent,
                @PotLifeEndMs, @Cautions, @RecordMs)
        """,
        mix);

    public static void InsertDiscard(StudioTransaction tx, string mix, long massMg) => tx.Execute(
        "INSERT INTO mix_discards (mix, mass_mg, discard_ms) VALUES (@mix, @massMg, @discardMs)",
        new { mix, massMg, discardMs = tx.Now.ToUnixMs() });
}
