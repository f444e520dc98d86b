using Pourwright.V1;

namespace Pourwright.Pages.Bench;

/// <summary>All that a tablet must know of a site to go on working without the network. Masses in mg, times in Unix ms.</summary>
public sealed record BenchPicture
{
    public required long NowMs { get; init; }
    public required string Studio { get; init; }
    public required string Site { get; init; }
    public required IReadOnlyList<string> People { get; init; }
    public required IReadOnlyList<SystemPicture> Systems { get; init; }
    public required IReadOnlyList<CanPicture> Cans { get; init; }
    public required IReadOnlyList<PlacePicture> Benches { get; init; }
    public required IReadOnlyList<PiecePicture> Pieces { get; init; }
    public required IReadOnlyList<BatchPicture> Batches { get; init; }
}

/// <summary>A resin system as a ratio is judged by it.</summary>
/// <param name="HardenerPerResin">mg of B to a mg of A at the target: parts / 100, by volume times density B over density A.</param>
public sealed record SystemPicture(string Name, string Title, double HardenerPerResin, double Parts, double TolerancePercent, bool ByVolume, long? MaxBatchMg)
{
    public static SystemPicture Of(ResinSystem system) => new(
        system.Name, system.DisplayName, system.HardenerPartsPer100Resin / 100 * VolumeFactor(system), system.HardenerPartsPer100Resin,
        system.RatioTolerancePercent, system.Basis == ResinSystem.Types.Basis.Volume, system.HasMaxBatchMassMg ? system.MaxBatchMassMg : null);

    private static double VolumeFactor(ResinSystem system) =>
        system.Basis == ResinSystem.Types.Basis.Volume ? system.BDensityKgPerM3 / system.ADensityKgPerM3 : 1;
}

/// <summary>A can that may be drawn from, or that says why not.</summary>
/// <param name="Part">`A`, `B` or `Pigment`.</param>
/// <param name="System">Its resin system; empty for pigment.</param>
public sealed record CanPicture(string Name, string Part, string System, long LeftMg, long? ExpireMs, bool IsOpen, string Hold)
{
    public static CanPicture Of(Container can) => new(
        can.Name, $"{can.Part}", can.ResinSystem, can.RemainingMassMg, can.ExpireTime?.ToDateTimeOffset().ToUnixTimeMilliseconds(),
        can.State == Container.Types.State.Open, can.Held ? can.HoldReason : "");
}

/// <summary>A shelf to pour on.</summary>
public sealed record PlacePicture(string Name, string Title);

/// <summary>A piece that may be poured into or touched.</summary>
/// <param name="CanPour">It stands in its mould.</param>
/// <param name="Gate">The next gate that nobody has confirmed: `Demold`, `Handle` or `Sand`; empty before the first pour and after the last gate.</param>
/// <param name="GateState">`Curing`, `CheckDue`, `Ready` or `Contradicted`.</param>
/// <param name="SafeMs">When that gate is safe; null where it never is, or nothing is forecast yet.</param>
public sealed record PiecePicture(string Name, string Label, string Maker, bool CanPour, bool CanTouch, string Gate, string GateState, long? SafeMs)
{
    private static readonly Gate[] Worked = [V1.Gate.Demold, V1.Gate.Handle, V1.Gate.Sand];

    public static PiecePicture Of(Piece piece, PieceReadiness? readiness)
    {
        var next = readiness?.Rungs.FirstOrDefault(rung => Worked.Contains(rung.Gate) && rung.State != PieceReadiness.Types.Rung.Types.State.Ready);
        return new(
            piece.Name, piece.Label, piece.Maker, piece.State is Piece.Types.State.Prepared or Piece.Types.State.Curing, readiness is not null,
            next is null ? "" : $"{next.Gate}", next is null ? "" : $"{next.State}", next?.Forecast?.SafeTime?.ToDateTimeOffset().ToUnixTimeMilliseconds());
    }
}

/// <summary>A batch that something is left of.</summary>
public sealed record BatchPicture(string Name, string System, long MixMs, string Mixer, long TotalMg, long LeftMg, long? PotLifeEndMs)
{
    public static BatchPicture Of(Mix mix) => new(
        mix.Name, mix.ResinSystem, mix.MixTime.ToDateTimeOffset().ToUnixTimeMilliseconds(), mix.Mixer,
        mix.AMassMg + mix.BMassMg + mix.PigmentMassMg, mix.RemainingMassMg, mix.PotLifeEndTime?.ToDateTimeOffset().ToUnixTimeMilliseconds());
}
