using System.Globalization;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using LimitAction = Pourwright.V1.ResinSystem.Types.LimitAction;
using PieceState = Pourwright.V1.Piece.Types.State;

namespace Pourwright.Studio.Pieces;

/// <summary>What a pour is judged by.</summary>
public sealed record PourFacts
{
    public required PieceRecord Piece { get; init; }
    public required SiteRecord Site { get; init; }
    public required BenchRecord Bench { get; init; }

    /// <summary>What was poured, with what is left of it.</summary>
    public required MixRecord Mix { get; init; }
    public required ResinSystemRecord ResinSystem { get; init; }

    /// <summary>The pours so far, first to last.</summary>
    public IReadOnlyList<PourRecord> Pours { get; init; } = [];

    /// <summary>The resin systems of the pours so far.</summary>
    public IReadOnlyList<string> ResinSystemsBelow { get; init; } = [];

    /// <summary>When the piece was last carried to another bench, Unix ms; null for never.</summary>
    public long? LastMoveMs { get; init; }

    /// <summary>The newest reading with humidity as the pour was made; null where there is none, or its sensor had gone silent.</summary>
    public BenchAir? Air { get; init; }

    /// <summary>Moisture, in %, within which wood is poured on without a caution.</summary>
    public required PieceOptions Options { get; init; }
}

/// <summary>Part of a mix goes into a piece.</summary>
public static class RecordPour
{
    /// <summary>Of a layer, in mm. Common practice, no source.</summary>
    internal const double DepthMinMm = 0.5, DepthMaxMm = 200;

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(RecordPourRequest request)
    {
        var pour = request.Pour ?? new();
        var studio = ResourceKind.Piece.Matches(request.Parent) ? ResourceNames.StudioOf(request.Parent) : null;
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Piece)
            .NewId("pour_id", request.PourId)
            .Name("pour.mix", pour.Mix, ResourceKind.Mix, studio)
            .Name("pour.bench", pour.Bench, ResourceKind.Bench, studio)
            .Mass("pour.mass_mg", pour.MassMg)
            .Within("pour.depth_mm", pour.DepthMm, DepthMinMm, DepthMaxMm, "mm")
            .Text("pour.pourer", pour.Pourer, 80)
            .Require(pour.DeviationReason.Length is 0 or (>= 3 and <= 500) && !pour.DeviationReason.Any(char.IsControl), "pour.deviation_reason",
                "must be empty, or 3 to 500 characters that say why, without control characters.", pour.DeviationReason)
            .OptionalTime("pour.pour_time", pour.PourTime);
        if (pour.HasResinTemperatureCelsius) checks.Celsius("pour.resin_temperature_celsius", pour.ResinTemperatureCelsius, 0, 60);
        if (pour.HasSurfaceTemperatureCelsius) checks.Celsius("pour.surface_temperature_celsius", pour.SurfaceTemperatureCelsius, -20, 60);
        checks.ThrowIfAny();
    }

    /// <summary>When it was poured, Unix ms.</summary>
    /// <exception cref="Refusal">TIME_IN_FUTURE.</exception>
    public static long TimeOf(Pour pour, long nowMs) => EventTime.OrNow(pour.PourTime, nowMs, "pour.pour_time");

    /// <exception cref="Refusal">
    /// TIME_IN_FUTURE, PIECE_DEMOLDED, PIECE_HANDED_OVER, PIECE_SCRAPPED, SITE_MISMATCH, TIME_OUT_OF_ORDER, MIX_SHORT, DEPTH_OVER_LIMIT.
    /// </exception>
    public static PourDecision Decide(string name, Pour pour, PourFacts facts, long nowMs)
    {
        var pourMs = TimeOf(pour, nowMs);
        RequireInMould(facts.Piece);
        RequireOneSite(facts);
        RequireOrder(pourMs, facts);
        RequireMass(pour.MassMg, facts.Mix);
        RequireDepth(pour, facts.ResinSystem);
        var record = new PourRecord
        {
            Name = name,
            Piece = facts.Piece.Name,
            Mix = facts.Mix.Name,
            Bench = facts.Bench.Name,
            MassMg = pour.MassMg,
            DepthMm = pour.DepthMm,
            PourMs = pourMs,
            ResinTemperatureCelsius = pour.HasResinTemperatureCelsius ? pour.ResinTemperatureCelsius : null,
            SurfaceTemperatureCelsius = pour.HasSurfaceTemperatureCelsius ? pour.SurfaceTemperatureCelsius : null,
            Pourer = pour.Pourer,
            DeviationReason = pour.DeviationReason,
            LayerCount = facts.Pours.Count + 1,
            Cautions = MessageListJson.Write(PourCautions.OfNew(pour, pourMs, facts)),
            RecordMs = nowMs,
        };
        return new(record, facts.Piece with { State = PieceState.Curing, Bench = BenchAfter(pourMs, facts) });
    }

    /// <summary>A pour that is written down late does not carry the piece back to where it was poured.</summary>
    private static string BenchAfter(long pourMs, PourFacts facts) =>
        facts.LastMoveMs > pourMs ? facts.Piece.Bench ?? facts.Bench.Name : facts.Bench.Name;

    private static void RequireInMould(PieceRecord piece)
    {
        PieceRefusals.RequireOpen(piece);
        if (piece.State == PieceState.Demolded)
            throw Refusal.Precondition(Reasons.PieceDemolded,
                $"Piece '{piece.Name}' is out of its mould and takes no more pours. Begin another piece.", ("piece", piece.Name));
    }

    internal static void RequireOneSite(PourFacts facts)
    {
        PieceRefusals.RequireSameSite(facts.Piece, facts.Bench);
        if (facts.Mix.Site != facts.Bench.Site)
            throw Refusal.Precondition(Reasons.SiteMismatch,
                $"Mix '{facts.Mix.Name}' was mixed at '{facts.Mix.Site}', bench '{facts.Bench.Name}' is at '{facts.Bench.Site}'. Name a mix and a bench of one site.",
                ("mix", facts.Mix.Name), ("mix_site", facts.Mix.Site), ("bench", facts.Bench.Name), ("bench_site", facts.Bench.Site));
    }

    private static void RequireOrder(long pourMs, PourFacts facts)
    {
        PieceRefusals.RequireNotBefore(pourMs, facts.Mix.MixMs, "pour", facts.Mix.Name, "was mixed");
        if (facts.Pours is [.., var last]) PieceRefusals.RequireNotBefore(pourMs, last.PourMs, "pour", last.Name, "was poured");
    }

    internal static void RequireMass(long massMg, MixRecord mix)
    {
        if (massMg > mix.RemainingMassMg)
            throw Refusal.Precondition(Reasons.MixShort,
                $"Mix '{mix.Name}' holds {Amounts.Grams(mix.RemainingMassMg)}, {Amounts.Grams(massMg)} are to be poured. Pour at most what is there, or the rest from another mix.",
                ("mix", mix.Name), ("remaining_mass", Amounts.Grams(mix.RemainingMassMg)), ("pour_mass", Amounts.Grams(massMg)));
    }

    private static void RequireDepth(Pour pour, ResinSystemRecord system)
    {
        if (IsOverLimit(pour, system) && system.DepthLimitAction == LimitAction.Refuse && pour.DeviationReason.Length == 0)
            throw Refusal.Precondition(Reasons.DepthOverLimit,
                $"A layer of {Millimetres(pour.DepthMm)} mm is deeper than the {Millimetres(system.MaxDepthMm!.Value)} mm of '{system.Name}'; it may overheat, smoke and crack. Pour several layers; if it is poured already, say why in deviation_reason.",
                ("resin_system", system.Name), ("depth_mm", Millimetres(pour.DepthMm)), ("max_depth_mm", Millimetres(system.MaxDepthMm!.Value)));
    }

    internal static bool IsOverLimit(Pour pour, ResinSystemRecord system) => pour.DepthMm > system.MaxDepthMm;

    internal static string Millimetres(double mm) => mm.ToString("0.##", CultureInfo.InvariantCulture);
}
