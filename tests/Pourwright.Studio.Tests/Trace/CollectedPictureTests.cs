using Pourwright.Studio.Trace;

namespace Pourwright.Studio.Tests.Trace;

/// <summary>Stops every thread of the process over and over: no other test runs beside it.</summary>
[CollectionDefinition(nameof(CollectedPictureTests), DisableParallelization = true)]
[Collection(nameof(CollectedPictureTests))]
public sealed class CollectedPictureTests
{
    private const int Pictures = 500, Marks = 400;

    /// <summary>What a chart lets go of too early is gone by the time Skia reads it, and the process ends.</summary>
    /// <remarks>
    /// With as many marks of the chart library, memory collected each millisecond, a process ended after 76, 117 and 320 pictures; collected
    /// without a pause it ended no sooner, and a picture took fifty times as long.
    /// </remarks>
    [Fact]
    public async Task Picture_WhileMemoryIsCollectedAllTheTime_IsDrawnToItsEnd()
    {
        var picture = WithMarks(DrawCure.Decide(InventedPiece.Facts()));
        var svg = picture.Svg(500);
        using var end = new CancellationTokenSource();
        var collecting = CollectAsync(end.Token);

        try
        {
            for (var i = 0; i < Pictures; i++) Assert.Equal(svg, picture.Svg(500));
        }
        finally
        {
            await end.CancelAsync();
            await Assert.ThrowsAnyAsync<OperationCanceledException>(() => collecting);
        }
    }

    private static CurePicture WithMarks(CurePicture picture)
    {
        var reading = picture.Course.Surfaces[0];
        return picture with
        {
            Course = picture.Course with { Surfaces = [.. Enumerable.Range(0, Marks).Select(i => reading with { Time = reading.Time.AddMinutes(i) })] },
        };
    }

    private static async Task CollectAsync(CancellationToken end)
    {
        using var ticks = new PeriodicTimer(TimeSpan.FromMilliseconds(1));
        while (await ticks.WaitForNextTickAsync(end))
        {
            GC.Collect(0);
            GC.WaitForPendingFinalizers();
        }
    }
}
