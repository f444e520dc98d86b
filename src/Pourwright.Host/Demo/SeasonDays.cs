using Grpc.Core;
using Pourwright.Studio.Messaging;
using Pourwright.V1;

namespace Pourwright.Host.Demo;

/// <summary>Plays the days of a season: loggers read out, classes poured, machine days, what shows at home.</summary>
public sealed class SeasonDays(SeasonStudio studio, SeasonPlan plan, DemoClock clock, QuietWorker worker)
{
    private readonly Dictionary<int, SeasonDefect?> _fates = [];
    private readonly List<(DateOnly Day, int Piece, SeasonDefect Defect)> _home = [];

    public int Poured { get; private set; }

    public int SentHome { get; private set; }

    public int Defects { get; private set; }

    /// <summary>One day, until its evening.</summary>
    public async Task PassAsync(DateOnly day)
    {
        if (day.DayOfWeek == DayOfWeek.Monday) await ReadOutAsync(day);
        clock.JumpTo(SeasonClock.At(day, 10));
        if (await EachAsync(plan.Classes.Where(held => held.Day == day), PourAsync)) await worker.DrainAsync();
        clock.JumpTo(SeasonClock.At(day, 14));
        if (await EachAsync(plan.Classes.Where(held => held.MachineDay == day), MachineAsync)) await worker.DrainAsync();
        clock.JumpTo(SeasonClock.At(day, 18));
        await EachAsync(_home.Where(found => found.Day == day).ToList(), found => ReportAsync(found.Piece, found.Defect, SeasonStudio.Owner, "Came back from home."));
        if (!IsSweepDay(day)) return;
        await worker.SettleAsync();
        // What a sweep decided goes out with the next one.
        await worker.SettleAsync();
    }

    /// <summary>On Saturday evenings the sweeps run, on a running node every minute: forecasts of pieces that still cure are a season's work.</summary>
    public static bool IsSweepDay(DateOnly day) => day.DayOfWeek == DayOfWeek.Saturday;

    /// <summary>True where there was any.</summary>
    private static async Task<bool> EachAsync<T>(IEnumerable<T> all, Func<T, Task> act)
    {
        var any = false;
        foreach (var each in all)
        {
            await act(each);
            any = true;
        }
        return any;
    }

    /// <summary>The loggers keep a week; on Monday they are read out.</summary>
    private async Task ReadOutAsync(DateOnly day)
    {
        clock.JumpTo(SeasonClock.At(day, 8));
        foreach (var (site, _) in SeasonPlan.Sites) await studio.ReadOutAsync(site, SeasonClock.At(day.AddDays(-7), 8), SeasonClock.At(day, 8));
    }

    private async Task PourAsync(SeasonClass held)
    {
        var lotB = await studio.PourAsync(plan, held);
        foreach (var piece in held.Pieces) _fates[piece] = plan.Fate(piece, lotB);
        Poured += held.Pieces.Count;
    }

    private async Task MachineAsync(SeasonClass held)
    {
        foreach (var piece in held.Pieces)
        {
            var fate = _fates[piece];
            await studio.StepAsync(piece, Step.Types.Kind.Demold, SeasonStudio.Called(held.Instructor));
            if (fate is { DaysLater: 0 }) await ReportAsync(piece, fate, SeasonStudio.Called(held.Instructor), "Seen out of the mould.");
            else if (await TryHandOverAsync(piece, held) && fate is not null) _home.Add((held.MachineDay.AddDays(fate.DaysLater), piece, fate));
        }
    }

    /// <summary>False for a piece that is held.</summary>
    private async Task<bool> TryHandOverAsync(int piece, SeasonClass held)
    {
        try
        {
            await studio.StepAsync(piece, Step.Types.Kind.HandOver, SeasonStudio.Called(held.Instructor));
            SentHome++;
            return true;
        }
        catch (RpcException refusal) when (refusal.StatusCode == StatusCode.FailedPrecondition)
        {
            return false;
        }
    }

    private async Task ReportAsync(int piece, SeasonDefect defect, string finder, string note)
    {
        Defects++;
        await studio.Defects.ReportDefectAsync(new()
        {
            Parent = SeasonStudio.Name, DefectId = $"d-{piece:000}", RequestId = SeasonStudio.NewId(),
            Defect = new()
            {
                Piece = SeasonStudio.Piece(piece), Kind = defect.Kind, Finder = finder, Note = note,
                PhotoUris = { $"https://photos.kelpworks.example/d-{piece:000}.jpg" },
            },
        });
    }
}
