using System.Diagnostics;

namespace Pourwright.Benchmarks.Service;

/// <summary>Calls made by so many clients at once for a while: milliseconds that each call waited, sorted, and calls a second.</summary>
internal sealed record Load(double[] Waits, double PerSecond)
{
    public double P50 => Waits[Waits.Length / 2];
    public double P99 => Waits[Waits.Length * 99 / 100];

    /// <summary>Every client makes its next call when the one before is answered.</summary>
    public static async Task<Load> MeasureAsync(int clients, double seconds, Func<Task> call)
    {
        var began = Stopwatch.GetTimestamp();
        var end = began + (long)(seconds * Stopwatch.Frequency);
        var waits = await Task.WhenAll(Enumerable.Range(0, clients).Select(_ => Task.Run(() => CallUntilAsync(end, call))));
        double[] all = [.. waits.SelectMany(each => each).Order()];
        return new(all, all.Length / Stopwatch.GetElapsedTime(began).TotalSeconds);
    }

    /// <summary>So many calls one after the other: the milliseconds of each.</summary>
    public static async Task<double[]> RepeatAsync(int calls, Func<Task> call)
    {
        var waits = new double[calls];
        for (var i = 0; i < calls; i++)
        {
            var began = Stopwatch.GetTimestamp();
            await call();
            waits[i] = Stopwatch.GetElapsedTime(began).TotalMilliseconds;
        }
        return waits;
    }

    /// <summary>The same on this thread, for what does not wait by itself.</summary>
    public static Load Measure(double seconds, Action work)
    {
        var began = Stopwatch.GetTimestamp();
        List<double> waits = [];
        while (Stopwatch.GetElapsedTime(began).TotalSeconds < seconds) waits.Add(Milliseconds(work));
        return new([.. waits.Order()], waits.Count / Stopwatch.GetElapsedTime(began).TotalSeconds);
    }

    public static double Milliseconds(Action work)
    {
        var began = Stopwatch.GetTimestamp();
        work();
        return Stopwatch.GetElapsedTime(began).TotalMilliseconds;
    }

    private static async Task<List<double>> CallUntilAsync(long end, Func<Task> call)
    {
        List<double> waits = [];
        while (Stopwatch.GetTimestamp() is var began && began < end)
        {
            await call();
            waits.Add(Stopwatch.GetElapsedTime(began).TotalMilliseconds);
        }
        return waits;
    }
}
