using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Offerings;

/// <summary>What an offering may say of itself, and what it means where it says nothing.</summary>
public static class DescribeOffering
{
    /// <summary>A half day of pouring, a day of machines, minutes a piece: common practice, no source.</summary>
    private const int PourMinutesDefault = 4 * 60, MachineMinutesDefault = 7 * 60, PlanerMinutesDefault = 10, SawMinutesDefault = 5;

    /// <summary>Three weeks: longer, and students forget and benches stay taken. Common practice, no source.</summary>
    private const int LongestGapDaysDefault = 21;

    /// <summary>A brushed coat on bare wood: common practice, no source.</summary>
    private const double SealCoatGPerM2Default = 150;

    /// <summary>Cups, buckets and a reserve for leaks: 10 to 15 %, common practice, no source.</summary>
    private const double LossShareDefault = 0.12;

    /// <summary>The silicone of the seams cures overnight: common practice, no source.</summary>
    private const int MouldPrepDaysDefault = 1;

    private static readonly string[] Changeable =
        [.. Offering.Descriptor.Fields.InDeclarationOrder().Select(field => field.Name).Except(["name", "etag"])];

    /// <summary>The offering after an update.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for a path that cannot change, ETAG_STALE where the offering was changed meanwhile.</exception>
    public static Offering Merge(Offering current, Offering change, FieldMask? mask) => UpdateMask.Merge(current, change, mask, Changeable);

    /// <summary>The row of an offering that passed its check, of a resin that allows its depth.</summary>
    /// <exception cref="Refusal">DEPTH_OVER_LIMIT where a pour is deeper than the resin's data sheet allows.</exception>
    /// <remarks>
    /// Refused whatever the resin system's action is: that action is for a bucket that is mixed and must go somewhere, while an
    /// offering is written at a desk and can have layers.
    /// </remarks>
    public static OfferingRecord Decide(string name, string studio, Offering offering, ResinSystemRecord resin, string etag)
    {
        var record = ToRecord(name, studio, offering, etag);
        foreach (var pour in record.Pours()) CheckDepth(pour.DepthMm, offering, resin);
        return record;
    }

    private static OfferingRecord ToRecord(string name, string studio, Offering offering, string etag) => new()
    {
        Name = name,
        Studio = studio,
        DisplayName = offering.DisplayName,
        ResinSystem = offering.ResinSystem,
        DepthMm = offering.DepthMm,
        LengthMm = offering.LengthMm,
        WidthMm = offering.WidthMm,
        WoodShare = offering.WoodShareRatio,
        ChannelWidthMm = offering.HasChannelWidthMm ? offering.ChannelWidthMm : null,
        Layers = LayersJson.Write(offering.Layers.Select(layer => new OfferingLayer(layer.DepthMm, Milliseconds(layer.PourOffset) ?? 0))),
        PiecesPerStudent = offering.HasStudentPieceCount ? offering.StudentPieceCount : 1,
        Seats = offering.SeatCount,
        PourMinutes = WholeMinutes.Of(offering.PourDuration) ?? PourMinutesDefault,
        MachineMinutes = WholeMinutes.Of(offering.MachineDuration) ?? MachineMinutesDefault,
        FinishMinutes = WholeMinutes.Of(offering.Finish?.SessionDuration),
        FinishAfterMs = Milliseconds(offering.Finish?.Wait),
        FinishWithinDays = offering.Finish?.WithinDays,
        PlanerMinutesPerPiece = WholeMinutes.Of(offering.PlanerDuration) ?? PlanerMinutesDefault,
        SawMinutesPerPiece = WholeMinutes.Of(offering.SawDuration) ?? SawMinutesDefault,
        LongestGapDays = offering.HasLongestGapDays ? offering.LongestGapDays : LongestGapDaysDefault,
        SealCoatGPerM2 = offering.HasSealCoatGPerM2 ? offering.SealCoatGPerM2 : SealCoatGPerM2Default,
        SealCoatResinSystem = offering.SealCoatResinSystem.Length > 0 ? offering.SealCoatResinSystem : null,
        LossShare = offering.HasLossShareRatio ? offering.LossShareRatio : LossShareDefault,
        MouldPrepDays = offering.HasMouldPrepDays ? offering.MouldPrepDays : MouldPrepDaysDefault,
        Etag = etag,
    };

    private static void CheckDepth(double depthMm, Offering offering, ResinSystemRecord resin)
    {
        if (resin.MaxDepthMm is not { } maxMm || depthMm <= maxMm) return;
        var layers = (int)Math.Ceiling(offering.DepthMm / maxMm);
        throw Refusal.Precondition(
            Reasons.DepthOverLimit,
            string.Create(CultureInfo.InvariantCulture,
                $"'{resin.DisplayName}' is poured at most {maxMm} mm deep at a time, and {depthMm} mm are asked for: it may run away hot. "
                + $"Give at least {layers} layers for {offering.DepthMm} mm, or another resin system."),
            ("resin_system", resin.Name), ("depth_mm", Shown(depthMm)), ("max_depth_mm", Shown(maxMm)),
            ("whole_depth_mm", Shown(offering.DepthMm)), ("layer_count", $"{layers}"), ("display_name", resin.DisplayName));
    }

    private static long? Milliseconds(Duration? span) => span is null ? null : (long)span.ToTimeSpan().TotalMilliseconds;

    private static string Shown(double value) => value.ToString(CultureInfo.InvariantCulture);
}
