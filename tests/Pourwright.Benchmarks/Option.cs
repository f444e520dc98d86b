using System.Globalization;

namespace Pourwright.Benchmarks;

/// <summary>A whole number after a name on the command line.</summary>
internal static class Option
{
    public static int Of(string[] options, string name, int otherwise) =>
        Array.IndexOf(options, name) is var at and >= 0 && at + 1 < options.Length
            ? Math.Max(1, int.Parse(options[at + 1], CultureInfo.InvariantCulture))
            : otherwise;
}
