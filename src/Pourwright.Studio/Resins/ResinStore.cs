using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Resins;

/// <summary>SQL of the resin systems.</summary>
public static class ResinStore
{
    private const string Columns =
        """
        SELECT name, studio, display_name, basis, hardener_parts_per_100_resin, ratio_tolerance_percent,
               a_density_kg_per_m3, b_density_kg_per_m3, cure_class, max_depth_mm, depth_limit_action,
               max_batch_mass_mg, batch_limit_action, min_cure_temperature_celsius, opened_shelf_life_ms, data_sheet
          FROM resin_systems
        """;

    public static ResinSystemRecord? FindResinSystem(StudioSession session, string name) =>
        session.FindLasting<ResinSystemRecord>($"{Columns} WHERE name = @name", name);

    /// <exception cref="Refusals.Refusal">RESIN_SYSTEM_NOT_FOUND.</exception>
    public static ResinSystemRecord GetResinSystem(StudioSession session, string name) =>
        FindResinSystem(session, name) ?? throw ResourceKind.ResinSystem.NotFound(name);

    public static IReadOnlyList<ResinSystemRecord> ListResinSystems(StudioSession session, string studio, PageRequest page) =>
        session.Query<ResinSystemRecord>(
            $"{Columns} WHERE studio = @studio AND name > @after ORDER BY name LIMIT @limit",
            new { studio, after = page.AfterText, limit = page.Limit });

    /// <exception cref="Refusals.Refusal">RESIN_SYSTEM_EXISTS.</exception>
    public static void InsertResinSystem(StudioTransaction tx, ResinSystemRecord system)
    {
        if (FindResinSystem(tx, system.Name) is not null) throw ResourceKind.ResinSystem.AlreadyExists(system.Name);
        tx.Execute(
            """
            INSERT INTO resin_systems (
                name, studio, display_name, basis, hardener_parts_per_100_resin, ratio_tolerance_percent,
                a_density_kg_per_m3, b_density_kg_per_m3, cure_class, max_depth_mm, depth_limit_action,
                max_batch_mass_mg, batch_limit_action, min_cure_temperature_celsius, opened_shelf_life_ms, data_sheet)
            VALUES (
                @Name, @Studio, @DisplayName, @Basis, @HardenerPartsPer100Resin, @RatioTolerancePercent,
                @ADensityKgPerM3, @BDensityKgPerM3, @CureClass, @MaxDepthMm, @DepthLimitAction,
                @MaxBatchMassMg, @BatchLimitAction, @MinCureTemperatureCelsius, @OpenedShelfLifeMs, @DataSheet)
            """,
            system);
    }
}
