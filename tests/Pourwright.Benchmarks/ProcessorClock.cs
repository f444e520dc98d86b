using System.Runtime.InteropServices;

namespace Pourwright.Benchmarks;

/// <summary>Processor time of the calling thread: what others do on the machine does not count, except in the caches.</summary>
internal static class ProcessorClock
{
    private const int ThreadClock = 3; // CLOCK_THREAD_CPUTIME_ID of Linux

    /// <summary>Least processor time of one call among many, in s.</summary>
    public static double LeastSeconds(int calls, Action call)
    {
        var least = double.PositiveInfinity;
        for (var i = 0; i < calls; i++)
        {
            var started = Seconds();
            call();
            least = Math.Min(least, Seconds() - started);
        }
        return least;
    }

    /// <summary>Processor time that this thread has used so far, in s.</summary>
    public static double Seconds()
    {
        if (clock_gettime(ThreadClock, out var now) != 0)
            throw new PlatformNotSupportedException("Processor time of a thread is read by clock_gettime: run on Linux.");
        return now.Seconds + now.Nanoseconds * 1e-9;
    }

    [DllImport("libc")]
    private static extern int clock_gettime(int clock, out Time now);

    [StructLayout(LayoutKind.Sequential)]
    private readonly record struct Time(long Seconds, long Nanoseconds);
}
