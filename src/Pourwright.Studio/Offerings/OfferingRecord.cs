using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Offerings;

/// <summary>A row of `offerings`: a class as it stands in the catalogue.</summary>
public sealed record OfferingRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string DisplayName { get; init; }
    public required string ResinSystem { get; init; }

    /// <summary>All layers together.</summary>
    public required double DepthMm { get; init; }

    /// <summary>Inside the mould, as the width.</summary>
    public required double LengthMm { get; init; }
    public required double WidthMm { get; init; }

    /// <summary>Share of the mould's volume that wood takes, 0 to 1.</summary>
    public required double WoodShare { get; init; }

    /// <summary>Between walls of wood; null where the wood does not wall the resin in.</summary>
    public required double? ChannelWidthMm { get; init; }

    /// <summary>JSON, see <see cref="LayersJson"/>.</summary>
    public required string Layers { get; init; }
    public required int PiecesPerStudent { get; init; }
    public required int Seats { get; init; }
    public required int PourMinutes { get; init; }
    public required int MachineMinutes { get; init; }

    /// <summary>Null, as the two after it, where the machine day is the last.</summary>
    public required int? FinishMinutes { get; init; }

    /// <summary>After the end of the machine day.</summary>
    public required long? FinishAfterMs { get; init; }

    /// <summary>Local days after the machine day.</summary>
    public required int? FinishWithinDays { get; init; }
    public required int PlanerMinutesPerPiece { get; init; }
    public required int SawMinutesPerPiece { get; init; }

    /// <summary>Local days from the pour to the machine day.</summary>
    public required int LongestGapDays { get; init; }
    public required double SealCoatGPerM2 { get; init; }

    /// <summary>Null: the resin that is poured.</summary>
    public required string? SealCoatResinSystem { get; init; }

    /// <summary>Share of the resin needed, 0 to 1.</summary>
    public required double LossShare { get; init; }

    /// <summary>Local days before the pour.</summary>
    public required int MouldPrepDays { get; init; }
    public required string Etag { get; init; }

    /// <summary>Every pour, the lowest first; one where there are no layers.</summary>
    public IReadOnlyList<OfferingLayer> Pours() => LayersJson.Read(Layers) is { Count: > 0 } layers ? layers : [new(DepthMm, 0)];

    public Offering ToProto()
    {
        var offering = new Offering
        {
            Name = Name,
            DisplayName = DisplayName,
            ResinSystem = ResinSystem,
            DepthMm = DepthMm,
            LengthMm = LengthMm,
            WidthMm = WidthMm,
            WoodShareRatio = WoodShare,
            Layers = { LayersJson.Read(Layers).Select(layer => layer.ToProto()) },
            StudentPieceCount = PiecesPerStudent,
            SeatCount = Seats,
            PourDuration = WholeMinutes.ToDuration(PourMinutes),
            MachineDuration = WholeMinutes.ToDuration(MachineMinutes),
            PlanerDuration = WholeMinutes.ToDuration(PlanerMinutesPerPiece),
            SawDuration = WholeMinutes.ToDuration(SawMinutesPerPiece),
            LongestGapDays = LongestGapDays,
            Finish = Finish(),
            SealCoatGPerM2 = SealCoatGPerM2,
            SealCoatResinSystem = SealCoatResinSystem ?? "",
            LossShareRatio = LossShare,
            MouldPrepDays = MouldPrepDays,
            Etag = Etag,
        };
        if (ChannelWidthMm is { } width) offering.ChannelWidthMm = width;
        return offering;
    }

    private Offering.Types.Finish? Finish() => (FinishMinutes, FinishAfterMs, FinishWithinDays) is ({ } minutes, { } afterMs, { } days)
        ? new() { SessionDuration = WholeMinutes.ToDuration(minutes), Wait = Duration.FromTimeSpan(TimeSpan.FromMilliseconds(afterMs)), WithinDays = days }
        : null;
}
