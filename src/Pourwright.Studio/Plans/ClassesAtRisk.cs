using Google.Protobuf.WellKnownTypes;
using Microsoft.Extensions.Logging;
using Pourwright.Cure;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Season;
using Pourwright.Studio.Advising;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Plans;

/// <summary>Looks whether the pieces of every class that has its dates will be ready, and says so where they may not.</summary>
/// <remarks>By forecasts once they are poured; before that by the air as it is foretold now, so that a cold spell in readings or in what is said of the weather is noticed.</remarks>
public sealed class ClassesAtRisk(
    StudioReads reads, StudioWriter writer, SeasonPlanner planner, PlanOptions options, ResinModels models, TimeProvider clock,
    ILogger<ClassesAtRisk> logger) : ISweep
{
    /// <summary>Farther ahead nothing is foretold of a room but what is planned of it.</summary>
    private static readonly TimeSpan LookAhead = TimeSpan.FromDays(21);

    public async Task RunAsync(CancellationToken ct)
    {
        var now = clock.GetUtcNow();
        foreach (var studio in reads.Read(session => AtRiskStore.StudiosWithMachineDays(session, now.ToUnixMs(), (now + LookAhead).ToUnixMs())))
        {
            ct.ThrowIfCancellationRequested();
            await TryAsync(studio, () => LookAsync(studio, now, ct));
        }
    }

    /// <summary>What fails does not hold up the others; it is looked at again.</summary>
    private async Task TryAsync(string name, Func<Task> look)
    {
        try
        {
            await look();
        }
        catch (Exception e) when (e is not OperationCanceledException)
        {
            logger.LogError(e, "Whether pieces of {Name} will be ready in time could not be looked at; it is tried again.", name);
        }
    }

    private async Task LookAsync(string studio, DateTimeOffset now, CancellationToken ct)
    {
        var season = planner.Load(studio, DateOnly.FromDateTime(now.UtcDateTime), 1, HeldClasses.MayMove);
        foreach (var p in season.Held) await TryAsync(season.Classes[p.Class].Name, () => LookAtAsync(season, p, now, ct));
    }

    private async Task LookAtAsync(PlannedSeason season, Placement p, DateTimeOffset now, CancellationToken ct)
    {
        var (castingClass, sessions) = (season.Classes[p.Class], season.Facts.SessionsOf(season.Classes[p.Class].Name));
        var machine = sessions.First(session => session.Kind == Kind.Machine);
        if (machine.StartMs <= now.ToUnixMs() || machine.StartMs > (now + LookAhead).ToUnixMs()) return;
        var isPoured = sessions.First(session => session.Kind == Kind.Pour).EndMs <= now.ToUnixMs();
        var gates = isPoured ? reads.Read(session => AtRiskStore.Gates(session, castingClass.Name)) : [];
        // Nothing was recorded of its pieces: nothing can be said of them.
        if (isPoured && gates.Count == 0) return;
        var outlook = new ClassOutlook(
            castingClass, season.Facts.Sites[p.Site], machine, season.Facts.Instructors[p.Machine.Instructor],
            isPoured ? AllReady.Chance(gates, machine.StartMs) : season.Chance(p), isPoured, [.. AllReady.Late(gates, machine.StartMs).Select(gate => gate.Label)]);
        await TellAsync(outlook, () => Help(season, p, gates, machine), ct);
    }

    /// <summary>Looks beside the writer first: mostly there is nothing to say, and what would help is not for its thread.</summary>
    private async Task TellAsync(ClassOutlook outlook, Func<string> help, CancellationToken ct)
    {
        var told = "";
        ReminderChanges Decide(StudioSession session, long nowMs, Func<string> helps) =>
            AtRisk.Decide(outlook, ReminderStore.About(session, outlook.Class.Name), helps, options, nowMs);
        if (reads.Read(session => Decide(session, clock.GetUtcNow().ToUnixMs(), () => "")).IsEmpty) return;
        if (outlook.Chance < options.ChanceAllReady) told = help();
        await writer.WriteAsync(tx => ReminderStore.Save(tx, Decide(tx, tx.Now.ToUnixMs(), () => told)), ct);
    }

    private string Help(PlannedSeason season, Placement p, IReadOnlyList<PieceGate> gates, SessionRecord machine) =>
        $"{(gates.Count > 0 ? WarmthOf(AllReady.Late(gates, machine.StartMs) is [var latest, ..] ? latest : gates[0], machine) : WarmthOf(season, p))} {Later(season, p, gates)}";

    private string WarmthOf(PieceGate piece, SessionRecord machine)
    {
        var (now, request) = (clock.GetUtcNow(), new AskWhatIfRequest { Piece = piece.Piece, SessionTime = Instants.ToTimestamp(machine.StartMs), SmallestWarming = new() });
        try
        {
            var answer = Advising.AskWhatIf.Decide(request, reads.Read(session => AdvisingStore.LoadWhatIf(session, request, models, now)), now.ToUnixMs());
            return $"Of {piece.Label}, the slowest: {answer.Sentence}";
        }
        catch (Exception e) when (e is CureRangeException or Refusal)
        {
            return $"What would help {piece.Label} cannot be computed. {ForecastPiece.GoByTouch}";
        }
    }

    /// <summary>The least warmth over the whole cure, before anything is poured.</summary>
    private string WarmthOf(PlannedSeason season, Placement p)
    {
        var (request, warming) = (season.Case.Classes[p.Class], new SeasonWarming(season));
        var most = warming.MostKelvin(request.Offering, p.Site, p.Pour.Slot, request.Pieces);
        for (var kelvin = 0.5; kelvin <= most; kelvin += 0.5)
        {
            var warmed = warming.Warmed(new RoomWarming(p.Site, p.Pour.Day, p.Machine.Day, kelvin));
            if (warmed.ChanceAllReady(request.Offering, p.Site, p.Pour.Slot, request.Pieces, season.GapHours(p)) >= options.ChanceAllReady)
                return string.Create(System.Globalization.CultureInfo.InvariantCulture,
                    $"Holding the room {kelvin:0.0} °C warmer from {PlanWords.Day(season.Date(p.Pour.Day))} to {PlanWords.Day(season.Date(p.Machine.Day))} would do; warm evenly, within the data sheet.");
        }
        return "No warmth that is allowed would do.";
    }

    private string Later(PlannedSeason season, Placement p, IReadOnlyList<PieceGate> gates)
    {
        for (var day = p.Machine.Day + 1; day < season.Case.Days && day <= p.Machine.Day + 14; day++)
        {
            if (!season.Case.Sites[p.Site].Days[day].Open) continue;
            var later = p with { Machine = p.Machine with { Slot = 2 * day } };
            var chance = gates.Count > 0 ? AllReady.Chance(gates, season.StartMs(p.Site, later.Machine)) : season.Chance(later);
            if (chance >= options.ChanceAllReady)
                return $"Or move the machine day by {day - p.Machine.Day} {(day - p.Machine.Day == 1 ? "day" : "days")}, to {PlanWords.Day(season.Date(day))}: ask for a replan, which says who else would move.";
        }
        return "No day of the next two weeks is late enough: hold the pieces, and test by touch.";
    }
}
