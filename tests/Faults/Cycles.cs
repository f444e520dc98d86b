using System.Globalization;

namespace Pourwright.Faults;

/// <summary>How often each test does what it does: `POURWRIGHT_FAULT_CYCLES` unset is the short run, `long` the long one, a number that many in every test.</summary>
internal static class Cycles
{
    private static readonly string Setting = Environment.GetEnvironmentVariable("POURWRIGHT_FAULT_CYCLES") ?? "";

    public static int Of(int inShort, int inLong) => Setting switch
    {
        "" => inShort,
        "long" => inLong,
        _ => int.Parse(Setting, CultureInfo.InvariantCulture),
    };
}
