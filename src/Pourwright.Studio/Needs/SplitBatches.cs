using Pourwright.Studio.Lots;
using Pourwright.Studio.Resins;

namespace Pourwright.Studio.Needs;

/// <summary>What is mixed in one vessel.</summary>
/// <param name="System">Of which resin system.</param>
/// <param name="Layer">For which layer, from 1, the lowest; 0 is the seal coat.</param>
/// <param name="FirstPiece">The first piece that gets some of it, from 1.</param>
/// <param name="LastPiece">The last one.</param>
/// <param name="Of">How many batches one piece takes; 1 where a batch fills whole pieces.</param>
/// <param name="Parts">What is weighed.</param>
public sealed record ResinBatch(ResinSystemRecord System, int Layer, int FirstPiece, int LastPiece, int Of, Parts Parts);

/// <summary>Splits a layer of a class into batches no larger than one may be.</summary>
/// <remarks>
/// Whole pieces to a batch where one fits, as evenly as can be: then a bad batch spoils as few pieces as possible, and no piece
/// is of two.
/// </remarks>
public static class SplitBatches
{
    /// <param name="system">Of which resin system.</param>
    /// <param name="mostMg">The largest batch, in mg.</param>
    /// <param name="piece">What one piece takes.</param>
    /// <param name="pieces">How many.</param>
    /// <param name="layer">For which layer, from 1; 0 is the seal coat.</param>
    public static IEnumerable<ResinBatch> Of(ResinSystemRecord system, long mostMg, Parts piece, int pieces, int layer)
    {
        if (piece.MassMg == 0 || pieces == 0) return [];
        var wholePieces = mostMg / piece.MassMg;
        return wholePieces >= 1
            ? Whole(system, piece, pieces, wholePieces, layer)
            : Enumerable.Range(1, pieces).SelectMany(one => Several(system, piece, mostMg, one, layer));
    }

    private static IEnumerable<ResinBatch> Whole(ResinSystemRecord system, Parts piece, int pieces, long most, int layer)
    {
        var batches = (int)((pieces + most - 1) / most);
        var first = 1;
        foreach (var count in LargestRemainder.Split(pieces, [.. Enumerable.Repeat(1L, batches)]))
        {
            yield return new(system, layer, first, (int)(first + count - 1), 1, count * piece);
            first += (int)count;
        }
    }

    // Odd milligrams of A go to the first batches and those of B to the last, so that none gets both while others get neither.
    private static IEnumerable<ResinBatch> Several(ResinSystemRecord system, Parts piece, long mostMg, int number, int layer)
    {
        var batches = (int)((piece.MassMg + mostMg - 1) / mostMg);
        long[] even = [.. Enumerable.Repeat(1L, batches)];
        return LargestRemainder.Split(piece.AMassMg, even)
            .Zip(LargestRemainder.Split(piece.BMassMg, even).Reverse(), (a, b) => new ResinBatch(system, layer, number, number, batches, new(a, b)));
    }
}
