using System.Globalization;

namespace Pourwright.Benchmarks;

/// <summary>What stands after a name on the command line.</summary>
internal static class Option
{
    public static int Of(string[] options, string name, int otherwise) =>
        TextOf(options, name) is { } number ? Math.Max(1, int.Parse(number, CultureInfo.InvariantCulture)) : otherwise;

    public static string? TextOf(string[] options, string name) =>
        Array.IndexOf(options, name) is var at and >= 0 && at + 1 < options.Length ? options[at + 1] : null;
}
