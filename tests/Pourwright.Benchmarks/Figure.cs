using System.Globalization;

namespace Pourwright.Benchmarks;

/// <summary>The last lines of a benchmark, one a figure: <c>name value bar ok|short</c>.</summary>
internal static class Figure
{
    public static bool AtMost(string name, double value, double bar) => Judge(name, value, bar, value <= bar);

    public static bool AtLeast(string name, double value, double bar) => Judge(name, value, bar, value >= bar);

    public static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static bool Judge(string name, double value, double bar, bool ok)
    {
        Console.WriteLine(Invariant($"{name} {value:0.000} {bar:0.000} {(ok ? "ok" : "short")}"));
        return ok;
    }
}
