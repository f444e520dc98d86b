using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace Pourwright.Cure.Heat;

/// <summary>Reads and writes four neighbouring nodes of a padded array; the pad makes the check of bounds needless.</summary>
internal static class Lane
{
    public const int Width = 4;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes Of(double[] values, int node) =>
        Vector256.LoadUnsafe(ref MemoryMarshal.GetArrayDataReference(values), (nuint)node);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Put(double[] values, int node, Lanes lanes) =>
        lanes.StoreUnsafe(ref MemoryMarshal.GetArrayDataReference(values), (nuint)node);

    public static double Least(Lanes lanes) => Math.Min(Math.Min(lanes[0], lanes[1]), Math.Min(lanes[2], lanes[3]));

    public static double Most(Lanes lanes) => Math.Max(Math.Max(lanes[0], lanes[1]), Math.Max(lanes[2], lanes[3]));
}
