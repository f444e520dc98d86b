using Pourwright.Studio.Trace;

namespace Pourwright.Studio.Tests.Trace;

/// <summary>Stops every thread of the process over and over: no other test runs beside it.</summary>
[CollectionDefinition(nameof(CollectedPictureTests), DisableParallelization = true)]
[Collection(nameof(CollectedPictureTests))]
public sealed class CollectedPictureTests
{
    /// <summary>What a chart lets go of too early is gone by the time Skia reads it, and the process ends, as it did in one or two thousand pictures.</summary>
    [Fact]
    public async Task Picture_WhileMemoryIsCollectedAllTheTime_IsDrawnToItsEnd()
    {
        var picture = DrawCure.Decide(InventedPiece.Facts());
        var svg = picture.Svg(500);
        using var end = new CancellationTokenSource();
        var collecting = Task.Run(() =>
        {
            while (!end.IsCancellationRequested)
            {
                GC.Collect(0);
                GC.WaitForPendingFinalizers();
            }
        });

        try
        {
            for (var i = 0; i < 1000; i++) Assert.Equal(svg, picture.Svg(500));
        }
        finally
        {
            await end.CancelAsync();
            await collecting;
        }
    }
}
