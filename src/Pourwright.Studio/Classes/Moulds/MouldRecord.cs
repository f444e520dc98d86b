using Pourwright.Studio.Offerings;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Moulds;

/// <summary>A row of `moulds`.</summary>
public sealed record MouldRecord
{
    public required string Name { get; init; }
    public required string Site { get; init; }
    public required string DisplayName { get; init; }

    /// <summary>Inside, as are width and depth.</summary>
    public required double LengthMm { get; init; }
    public required double WidthMm { get; init; }
    public required double DepthMm { get; init; }
    public required int Count { get; init; }

    /// <summary>The piece goes in, either way round: resin may stand lower than the edge, wood may not be cut for it.</summary>
    public bool Fits(OfferingRecord offering) => DepthMm >= offering.DepthMm
        && ((LengthMm >= offering.LengthMm && WidthMm >= offering.WidthMm) || (LengthMm >= offering.WidthMm && WidthMm >= offering.LengthMm));

    public Mould ToProto() => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        LengthMm = LengthMm,
        WidthMm = WidthMm,
        DepthMm = DepthMm,
        MouldCount = Count,
    };
}

/// <summary>Moulds that a class keeps, and from when to when it holds them, Unix ms; both null while it has no sessions.</summary>
public sealed record MouldHold
{
    public required string Mould { get; init; }
    public required string Class { get; init; }
    public required int Count { get; init; }
    public long? StartMs { get; init; }
    public long? EndMs { get; init; }

    public MouldBooking ToProto() => new()
    {
        Mould = Mould,
        CastingClass = Class,
        MouldCount = Count,
        StartTime = Instants.ToTimestamp(StartMs),
        EndTime = Instants.ToTimestamp(EndMs),
    };
}
