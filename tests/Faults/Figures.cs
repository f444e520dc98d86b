using System.Globalization;

namespace Pourwright.Faults;

/// <summary>What a run has shown: lines `name value bar ok|short` in the file that `POURWRIGHT_FAULT_FIGURES` names; one that is short fails its test.</summary>
internal static class Figures
{
    private static readonly Lock OneAtATime = new();

    private static readonly string? File = Environment.GetEnvironmentVariable("POURWRIGHT_FAULT_FIGURES");

    public static void AtMost(string name, double value, double bar) => Tell(name, value, bar, value <= bar);

    public static void AtLeast(string name, double value, double bar) => Tell(name, value, bar, value >= bar);

    private static void Tell(string name, double value, double bar, bool isOk)
    {
        var line = string.Create(CultureInfo.InvariantCulture, $"{name} {value:0.###} {bar:0.###} {(isOk ? "ok" : "short")}");
        Say(line);
        Assert.True(isOk, line);
    }

    /// <summary>A line among them.</summary>
    public static void Say(string line)
    {
        if (File is null) return;
        lock (OneAtATime) System.IO.File.AppendAllLines(File, [line]);
    }
}
