using System.Globalization;
using Google.Protobuf.Collections;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Offerings;

/// <summary>Whether an offering can be meant.</summary>
public static class CheckOffering
{
    private const int LayersMax = 10, SessionMinutesMin = 5, SessionMinutesMax = 12 * 60, PieceMinutesMax = 8 * 60;

    /// <summary>How far the depths of the layers may miss the whole, mm: what rounding to a tenth does to ten layers.</summary>
    private const double DepthSlackMm = 0.5;

    private static readonly TimeSpan LastLayerAfter = TimeSpan.FromDays(14);

    /// <summary>Checks every field by itself, then those that belong together.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void Shape(Offering offering, string studio)
    {
        var checks = new FieldChecks()
            .Text("offering.display_name", offering.DisplayName, 80)
            .Name("offering.resin_system", offering.ResinSystem, ResourceKind.ResinSystem, studio);
        Piece(checks, offering);
        Resin(checks, offering, studio);
        Times(checks, offering);
        Layers(checks, offering);
        if (offering.Finish is { } finish) Finish(checks, finish);
        checks.ThrowIfAny();
    }

    private static void Piece(FieldChecks checks, Offering offering)
    {
        checks
            .Within("offering.depth_mm", offering.DepthMm, 1, 600, "mm")
            .Within("offering.length_mm", offering.LengthMm, 10, 5000, "mm")
            .Within("offering.width_mm", offering.WidthMm, 10, 5000, "mm")
            .Within("offering.wood_share_ratio", offering.WoodShareRatio, 0, 0.95, "of the mould")
            .Within("offering.seat_count", offering.SeatCount, 1, 100, "seats");
        if (offering.HasStudentPieceCount) checks.Within("offering.student_piece_count", offering.StudentPieceCount, 1, 10, "pieces");
        if (!offering.HasChannelWidthMm) return;
        checks
            .Within("offering.channel_width_mm", offering.ChannelWidthMm, 5, 5000, "mm")
            .Require(!(offering.ChannelWidthMm > Math.Max(offering.LengthMm, offering.WidthMm)), "offering.channel_width_mm",
                "must not be wider than the mould.", Shown(offering.ChannelWidthMm));
    }

    private static void Resin(FieldChecks checks, Offering offering, string studio)
    {
        if (offering.HasSealCoatGPerM2) checks.Within("offering.seal_coat_g_per_m2", offering.SealCoatGPerM2, 0, 2000, "g/m²");
        if (offering.HasLossShareRatio) checks.Within("offering.loss_share_ratio", offering.LossShareRatio, 0, 1, "of the resin");
        if (offering.SealCoatResinSystem.Length > 0)
            checks.Name("offering.seal_coat_resin_system", offering.SealCoatResinSystem, ResourceKind.ResinSystem, studio);
    }

    private static void Times(FieldChecks checks, Offering offering)
    {
        checks
            .Minutes("offering.pour_duration", offering.PourDuration, SessionMinutesMin, SessionMinutesMax)
            .Minutes("offering.machine_duration", offering.MachineDuration, SessionMinutesMin, SessionMinutesMax)
            .Minutes("offering.planer_duration", offering.PlanerDuration, 0, PieceMinutesMax)
            .Minutes("offering.saw_duration", offering.SawDuration, 0, PieceMinutesMax);
        if (offering.HasLongestGapDays) checks.Within("offering.longest_gap_days", offering.LongestGapDays, 1, 365, "days");
        if (offering.HasMouldPrepDays) checks.Within("offering.mould_prep_days", offering.MouldPrepDays, 0, 60, "days");
    }

    private static void Layers(FieldChecks checks, Offering offering)
    {
        var layers = offering.Layers;
        if (layers.Count == 0) return;
        checks.Require(layers.Count is >= 2 and <= LayersMax, "offering.layers", $"must be 2 to {LayersMax}, or none for a single pour.", $"{layers.Count}");
        for (var i = 0; i < Math.Min(layers.Count, LayersMax); i++) Layer(checks, layers, i);
        var wholeMm = layers.Sum(layer => layer.DepthMm);
        checks.Require(Math.Abs(wholeMm - offering.DepthMm) <= DepthSlackMm, "offering.layers",
            $"must add up to the depth of {Shown(offering.DepthMm)} mm.", $"{Shown(wholeMm)} mm");
    }

    private static void Layer(FieldChecks checks, RepeatedField<Offering.Types.Layer> layers, int index)
    {
        var (path, layer) = ($"offering.layers[{index}]", layers[index]);
        checks.Within($"{path}.depth_mm", layer.DepthMm, 0.5, 200, "mm");
        if (index == 0)
            checks.Require(layer.PourOffset is null or { Seconds: 0, Nanos: 0 }, $"{path}.pour_offset", "must be absent: the first layer is poured first.", $"{layer.PourOffset}");
        else
            checks.Require(IsLater(layer.PourOffset, layers[index - 1].PourOffset), $"{path}.pour_offset",
                $"must be later than the layer below, at most {LastLayerAfter.TotalDays} days after the first.", $"{layer.PourOffset}");
    }

    private static bool IsLater(Duration? offset, Duration? before) =>
        offset is not null && DescribeSite.IsWithin(offset, TimeSpan.FromMinutes(1), LastLayerAfter) && offset.CompareTo(before ?? new()) > 0;

    private static void Finish(FieldChecks checks, Offering.Types.Finish finish)
    {
        const string path = "offering.finish";
        checks
            .Require(finish.SessionDuration is not null, $"{path}.session_duration", "must be set: a finish has a length.")
            .Minutes($"{path}.session_duration", finish.SessionDuration, SessionMinutesMin, SessionMinutesMax)
            .Within($"{path}.within_days", finish.WithinDays, 1, 90, "days")
            .Require(finish.Wait is not null, $"{path}.wait", "must be set; 0 where the finish may follow at once.");
        if (finish.Wait is { } wait)
            checks.Require(DescribeSite.IsWithin(wait, TimeSpan.Zero, TimeSpan.FromDays(Math.Clamp(finish.WithinDays, 1, 90))), $"{path}.wait",
                $"must be 0 to {finish.WithinDays} days: later the finish is too late.", $"{wait}");
    }

    private static string Shown(double value) => value.ToString(CultureInfo.InvariantCulture);
}
