using Microsoft.Extensions.Logging;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Forecasts;

/// <summary>Forecasts again the pieces on benches whose climate has new readings, all of a bench at a time, on all cores.</summary>
/// <remarks>
/// A bench is claimed by setting its due time ahead by the delay of new readings plus <see cref="Lease"/>, and dropped once all its
/// pieces are done. Nothing is lost:
/// whoever dies meanwhile leaves the row, which comes due again;
/// a reading that comes during the work sets the due time to its own instant plus the delay, which is before the claim's as long as
/// the lease runs, so that the row is no longer the one claimed and stays;
/// and after the lease nothing is dropped.
/// Doing a bench twice costs time and writes nothing: a forecast that says nothing new is not saved.
/// </remarks>
public sealed class TouchedBenches(
    StudioReads reads, StudioWriter writer, PieceForecasts forecasts, ClimateOptions options, ILogger<TouchedBenches> logger) : ISweep
{
    /// <summary>Far longer than the pieces of the benches of one claim take. Common practice, no source.</summary>
    public static readonly TimeSpan Lease = TimeSpan.FromMinutes(5);

    /// <summary>Benches a claim: at 50 pieces each some ten seconds of two cores.</summary>
    private const int BenchesMax = 16;

    public async Task RunAsync(CancellationToken ct)
    {
        while (await ForecastSomeAsync(ct) == BenchesMax) { }
    }

    private async Task<int> ForecastSomeAsync(CancellationToken ct)
    {
        var claims = await writer.WriteAsync(tx => TouchedBenchStore.Claim(tx, tx.Now + options.ForecastDelay + Lease, BenchesMax), ct);
        foreach (var claim in claims)
            if (await ForecastBenchAsync(claim.Bench, ct))
                await writer.WriteAsync(tx => TouchedBenchStore.Drop(tx, claim, options.ForecastDelay), ct);
        return claims.Count;
    }

    /// <summary>True when every piece was done.</summary>
    private async Task<bool> ForecastBenchAsync(string bench, CancellationToken ct)
    {
        var failed = 0;
        var pieces = reads.Read(session => TouchedBenchStore.GetCuringPieces(session, bench));
        var parallel = new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount, CancellationToken = ct };
        await Parallel.ForEachAsync(pieces, parallel, async (piece, token) =>
        {
            if (!await TryForecastAsync(piece, token)) Interlocked.Increment(ref failed);
        });
        return failed == 0;
    }

    /// <summary>One piece that fails does not hold up the others; its bench comes due again.</summary>
    private async Task<bool> TryForecastAsync(string piece, CancellationToken ct)
    {
        try
        {
            return await forecasts.ForecastAsync(piece, Cause.Readings, ct);
        }
        catch (Exception e) when (e is not OperationCanceledException)
        {
            logger.LogError(e, "{Piece} could not be forecast from its new readings; it is tried again.", piece);
            return false;
        }
    }
}
