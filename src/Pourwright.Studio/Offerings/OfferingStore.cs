using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Offerings;

/// <summary>SQL of the offerings.</summary>
public static class OfferingStore
{
    private const string Columns =
        """
        SELECT name, studio, display_name, resin_system, depth_mm, length_mm, width_mm, wood_share, channel_width_mm, layers,
               pieces_per_student, seats, pour_minutes, machine_minutes, finish_minutes, finish_after_ms, finish_within_days,
               planer_minutes_per_piece, saw_minutes_per_piece, longest_gap_days, seal_coat_g_per_m2, seal_coat_resin_system,
               loss_share, mould_prep_days, etag
          FROM offerings
        """;

    public static OfferingRecord? FindOffering(StudioSession session, string name) =>
        session.Find<OfferingRecord>($"{Columns} WHERE name = @name", new { name });

    /// <exception cref="Refusals.Refusal">OFFERING_NOT_FOUND.</exception>
    public static OfferingRecord GetOffering(StudioSession session, string name) =>
        FindOffering(session, name) ?? throw ResourceKind.Offering.NotFound(name);

    /// <summary>Every offering of a studio, by name.</summary>
    public static IReadOnlyList<OfferingRecord> GetOfferings(StudioSession session, string studio) =>
        session.Query<OfferingRecord>($"{Columns} WHERE studio = @studio ORDER BY name", new { studio });

    public static IReadOnlyList<OfferingRecord> ListOfferings(StudioSession session, string studio, PageRequest page) =>
        session.Query<OfferingRecord>(
            $"{Columns} WHERE studio = @studio AND name > @after ORDER BY name LIMIT @limit",
            new { studio, after = page.AfterText, limit = page.Limit });

    /// <exception cref="Refusals.Refusal">OFFERING_EXISTS.</exception>
    public static void InsertOffering(StudioTransaction tx, OfferingRecord offering)
    {
        if (FindOffering(tx, offering.Name) is not null) throw ResourceKind.Offering.AlreadyExists(offering.Name);
        tx.Execute(
            """
            INSERT INTO offerings (
                name, studio, display_name, resin_system, depth_mm, length_mm, width_mm, wood_share, channel_width_mm, layers,
                pieces_per_student, seats, pour_minutes, machine_minutes, finish_minutes, finish_after_ms, finish_within_days,
                planer_minutes_per_piece, saw_minutes_per_piece, longest_gap_days, seal_coat_g_per_m2, seal_coat_resin_system,
                loss_share, mould_prep_days, etag)
            VALUES (
                @Name, @Studio, @DisplayName, @ResinSystem, @DepthMm, @LengthMm, @WidthMm, @WoodShare, @ChannelWidthMm, @Layers,
                @PiecesPerStudent, @Seats, @PourMinutes, @MachineMinutes, @FinishMinutes, @FinishAfterMs, @FinishWithinDays,
                @PlanerMinutesPerPiece, @SawMinutesPerPiece, @LongestGapDays, @SealCoatGPerM2, @SealCoatResinSystem,
                @LossShare, @MouldPrepDays, @Etag)
            """,
            offering);
    }

    public static void UpdateOffering(StudioTransaction tx, OfferingRecord offering) => tx.Execute(
        """
        UPDATE offerings
           SET display_name = @DisplayName, resin_system = @ResinSystem, depth_mm = @DepthMm, length_mm = @LengthMm,
               width_mm = @WidthMm, wood_share = @WoodShare, channel_width_mm = @ChannelWidthMm, layers = @Layers,
               pieces_per_student = @PiecesPerStudent, seats = @Seats, pour_minutes = @PourMinutes,
               machine_minutes = @MachineMinutes, finish_minutes = @FinishMinutes, finish_after_ms = @FinishAfterMs,
               finish_within_days = @FinishWithinDays, planer_minutes_per_piece = @PlanerMinutesPerPiece,
               saw_minutes_per_piece = @SawMinutesPerPiece, longest_gap_days = @LongestGapDays,
               seal_coat_g_per_m2 = @SealCoatGPerM2, seal_coat_resin_system = @SealCoatResinSystem,
               loss_share = @LossShare, mould_prep_days = @MouldPrepDays, etag = @Etag
         WHERE name = @Name
        """,
        offering);
}
