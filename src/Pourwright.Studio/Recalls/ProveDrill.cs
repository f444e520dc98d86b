using System.Numerics;
using System.Security.Cryptography;
using System.Text;
using Pourwright.Studio.Names;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>Which piece a drill begins at, and whether the way back meets the way forward.</summary>
public static class ProveDrill
{
    /// <summary>One of so many, counted from 0: the same words choose the same one, and nobody can foresee which.</summary>
    /// <remarks>The SHA-256 of the words as a number, modulo the count: of a studio's pieces each is as likely to within 1 in 2^200.</remarks>
    public static int Choose(string words, int count) => (int)(new BigInteger(SHA256.HashData(Encoding.UTF8.GetBytes(words)), isUnsigned: true) % count);

    /// <summary>The two walks are separate queries: forward by what was filled from where, backward by what was filled in before.</summary>
    /// <returns>True where both say that they belong together, false where one does, null where neither does.</returns>
    public static bool? Meets(RecallFrom from, string piece, PieceAncestry ancestry, RecallList list)
    {
        var isForward = list.Pieces.Any(line => line.Piece == piece);
        var isBackward = from.Kind == ResourceKind.Site || from.Kind == ResourceKind.Piece ? isForward
            : ancestry.Lots.Any(lot => lot.Name == from.Name) || ancestry.Containers.Contains(from.Name) || ancestry.Mixes.Contains(from.Name);
        return (isForward, isBackward) switch
        {
            (true, true) => true,
            (false, false) => null,
            _ => false,
        };
    }

    public static DrillProof Decide(
        RecallFrom from, string piece, string seed, PieceAncestry ancestry, RecallList list, IEnumerable<Reconciliation> reconciliations)
    {
        var proof = new DrillProof
        {
            Piece = piece,
            Seed = seed,
            Mixes = { ancestry.Mixes },
            Containers = { ancestry.Containers },
            Lots = { ancestry.Lots.Select(lot => lot.Name) },
            Reconciliations = { reconciliations },
        };
        if (Meets(from, piece, ancestry, list) is { } met) proof.Met = met;
        return proof;
    }
}
