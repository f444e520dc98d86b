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
               m.a_mass_mg + m.b_mass_mg + m.pigment_mass_mg
                   - coalesce((SELECT sum(p.mass_mg) FROM pours p WHERE p.mix = m.name), 0)
                   - coalesce((SELECT sum(d.mass_mg) FROM mix_discards d WHERE d.mix = m.name), 0) AS remaining_mass_mg
          FROM mixes m
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

    public static IReadOnlyList<MixRecord> ListMixes(StudioSession session, string studio, PageRequest page) =>
        session.Query<MixRecord>(
            $"{Columns} WHERE m.studio = @studio AND m.name > @after ORDER BY m.name LIMIT @limit",
            new { studio, after = page.AfterText, limit = page.Limit });

    /// <summary>A mix with its draws and what is left of it.</summary>
    public static Mix ToProto(StudioSession session, MixRecord mix) => mix.ToProto(LotStore.Draws(session, mix.Name));

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
