using System.Globalization;
using Pourwright.Planning.MachineDay;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Needs;

/// <summary>What is to be done with a piece at the door.</summary>
public enum RunVerdict
{
    /// <summary>Forecast and touch both say hard.</summary>
    Go,

    /// <summary>Its safe time is past or comes today; nobody felt it since.</summary>
    CheckFirst,

    /// <summary>Soft when last felt, or not safe today: no planing, no sawing, no sanding.</summary>
    Wait,
}

/// <summary>A piece on the morning of its machine day.</summary>
/// <param name="Label">On its mould.</param>
/// <param name="Maker">Whose it is.</param>
/// <param name="Demolded">Whether it is out of its mould.</param>
/// <param name="Handle">For saw and planer.</param>
/// <param name="Sand">For the disc.</param>
public sealed record RunPiece(
    string Label, string Maker, bool Demolded, PieceReadiness.Types.Rung Handle, PieceReadiness.Types.Rung Sand)
{
    public long? HandleSafeMs => Handle.Forecast?.SafeTime.ToUnixMsOrNull();

    public long? SandSafeMs => Sand.Forecast?.SafeTime.ToUnixMsOrNull();
}

/// <summary>What a machine day is reckoned from.</summary>
public sealed record RunDayFacts
{
    /// <summary>Unix ms.</summary>
    public required long StartMs { get; init; }

    /// <summary>Unix ms.</summary>
    public required long EndMs { get; init; }

    public required IReadOnlyList<RunPiece> Pieces { get; init; }

    /// <summary>Places and minutes.</summary>
    public required RunStations Has { get; init; }
}

/// <summary>A piece in its turn.</summary>
/// <param name="Piece">Which.</param>
/// <param name="Verdict">What to do at the door.</param>
/// <param name="FirstMs">When its first machine begins, Unix ms; null where it does not run today.</param>
/// <param name="SandMs">When its sanding begins, Unix ms; null where it is not sanded today.</param>
public sealed record RunRow(RunPiece Piece, RunVerdict Verdict, long? FirstMs, long? SandMs);

/// <summary>A machine day: rows in the order of the first machine, then those that wait or for which no machine runs.</summary>
/// <param name="PromisedMs">Over by then on nine days of ten though people take pieces in their own order, Unix ms; null where nothing runs.</param>
/// <param name="OurOrderMs">Over by then in this order, if nothing takes longer than said.</param>
/// <param name="IsProved">No order is over sooner.</param>
public sealed record RunDay(IReadOnlyList<RunRow> Rows, long? PromisedMs, long? OurOrderMs, bool IsProved)
{
    private const long MinuteMs = 60_000;

    /// <summary>Orders the pieces of a day. A second of one core at most: not for the writer's thread.</summary>
    /// <remarks>
    /// A piece runs from its safe time on, and is sanded from that of sanding on: its day begins so late that it does not come to
    /// the disc before. What is not safe before the day ends, or was soft when last felt, does not run.
    /// </remarks>
    public static RunDay Plan(RunDayFacts facts, CancellationToken stop)
    {
        var running = facts.Pieces.Where(piece => Verdict(piece, facts) != RunVerdict.Wait && HasWork(piece, facts)).ToList();
        var waiting = facts.Pieces.Except(running).OrderBy(piece => piece.HandleSafeMs ?? long.MaxValue).ThenBy(piece => piece.Label, StringComparer.Ordinal)
            .Select(piece => new RunRow(piece, Verdict(piece, facts), null, null));
        if (running.Count == 0) return new([.. waiting], null, null, IsProved: true);
        var shop = new SecondDayShop([.. running.Select((piece, i) => Job($"{i}", piece, facts))], facts.Has.Stations);
        var promise = DayPromise.Of(shop, cancellationToken: stop);
        return new(
            [.. promise.Order.Pieces.Select(run => Row(running[int.Parse(run.Piece, CultureInfo.InvariantCulture)], run, facts)), .. waiting],
            At(facts, promise.PromisedMinutes), At(facts, promise.WithOurOrder.MakespanMinutes), promise.WithOurOrder.IsProved);
    }

    /// <summary>What to do with a piece at the door.</summary>
    public static RunVerdict Verdict(RunPiece piece, RunDayFacts facts) => piece.Handle.State switch
    {
        RungState.Ready => RunVerdict.Go,
        RungState.CheckDue => RunVerdict.CheckFirst,
        RungState.Curing when piece.HandleSafeMs < facts.EndMs => RunVerdict.CheckFirst,
        _ => RunVerdict.Wait,
    };

    private static SecondDayPiece Job(string id, RunPiece piece, RunDayFacts facts)
    {
        var minutes = piece.Demolded ? facts.Has.Minutes with { Demold = 0 } : facts.Has.Minutes;
        var handle = After(facts, piece.Handle, piece.HandleSafeMs);
        if (SandedFrom(piece, facts) is not { } sand)
            return new(id, handle, minutes with { CoarseSand = 0, FineSand = 0, FirstCoat = 0 });
        return new(id, Math.Max(handle, sand - minutes.Demold - minutes.Planer - minutes.Saw), minutes);
    }

    // With every machine down, nothing is left to do with a piece that is out of its mould.
    private static bool HasWork(RunPiece piece, RunDayFacts facts) =>
        Job("", piece, facts).Minutes is var minutes && Enum.GetValues<SecondDayStage>().Any(stage => minutes.At(stage) > 0);

    /// <summary>Minutes from the start of the day; null where it is not sanded today.</summary>
    private static int? SandedFrom(RunPiece piece, RunDayFacts facts) => piece.Sand.State switch
    {
        RungState.Ready or RungState.CheckDue => 0,
        RungState.Curing when piece.SandSafeMs < facts.EndMs => After(facts, piece.Sand, piece.SandSafeMs),
        _ => null,
    };

    private static int After(RunDayFacts facts, PieceReadiness.Types.Rung rung, long? safeMs) =>
        rung.State == RungState.Ready || safeMs is not { } ms ? 0 : (int)Math.Max(0, (ms - facts.StartMs + MinuteMs - 1) / MinuteMs);

    private static RunRow Row(RunPiece piece, PieceRun run, RunDayFacts facts)
    {
        var first = run.Stages.FirstOrDefault(stage => stage.Stage is SecondDayStage.Planer or SecondDayStage.Saw) ?? run.Stages[0];
        var sand = run.Stages.FirstOrDefault(stage => stage.Stage is SecondDayStage.CoarseSand or SecondDayStage.FineSand);
        return new(piece, Verdict(piece, facts), At(facts, first.StartMinutes), sand is null ? null : At(facts, sand.StartMinutes));
    }

    private static long At(RunDayFacts facts, int minutes) => facts.StartMs + minutes * MinuteMs;
}
