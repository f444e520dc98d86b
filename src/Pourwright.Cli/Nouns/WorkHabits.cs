using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;

namespace Pourwright.Cli.Nouns;

/// <summary>Habits of the second day as people write them: <c>pass=0.5mm</c>, <c>soak=20min</c>.</summary>
public static class WorkHabits
{
    private static readonly Dictionary<string, Action<WorkSettings, string>> Habits = new(StringComparer.OrdinalIgnoreCase)
    {
        ["high-spots"] = (s, text) => s.HighSpotsMm = Millimetres(text),
        ["pass"] = (s, text) => s.PassMm = Millimetres(text),
        ["second-face"] = (s, text) => s.SecondFaceMm = Millimetres(text),
        ["shortest"] = (s, text) => s.ShortestPlanedMm = Millimetres(text),
        ["pass-time"] = (s, text) => s.PassDuration = Time(text),
        ["turn-time"] = (s, text) => s.TurnDuration = Time(text),
        ["grits"] = (s, text) => s.Grit.Add(text.Split(',').Select(Whole)),
        ["first-grit"] = (s, text) => s.HelicalHeadFirstGrit = s.StraightKnivesFirstGrit = s.RouterSledFirstGrit = Whole(text),
        ["disc"] = (s, text) => s.DiscMm = Millimetres(text),
        ["disc-speed-mm-per-s"] = (s, text) => s.DiscMmPerS = Number(text),
        ["end-grain"] = (s, text) => s.EndGrainRatio = Number(text),
        ["grit-time"] = (s, text) => s.GritChangeDuration = Time(text),
        ["coats"] = (s, text) => s.CoatCount = Whole(text),
        ["coat-time"] = (s, text) => s.CoatDuration = Time(text),
        ["soak"] = (s, text) => s.SoakDuration = Time(text),
        ["wipe"] = (s, text) => s.WipeDuration = Time(text),
        ["recoat"] = (s, text) => s.RecoatDuration = Time(text),
        ["hand-over"] = (s, text) => s.HandOverDuration = Time(text),
    };

    /// <summary>Reads them; what is not written stays as is usual.</summary>
    /// <exception cref="FormatException">A name that is none, with those that are; or a value that cannot be read.</exception>
    public static WorkSettings Read(IEnumerable<string> written)
    {
        var settings = new WorkSettings();
        foreach (var text in written)
        {
            if (text.Split('=', 2) is not [var name, var value] || !Habits.TryGetValue(name.Trim(), out var set))
                throw new FormatException($"'{text}' is no habit: write NAME=VALUE with {string.Join(", ", Habits.Keys)}.");
            set(settings, value);
        }
        return settings;
    }

    private static double Millimetres(string text) => Depth.Parse(text).Mm;

    private static Duration Time(string text) => Duration.FromTimeSpan(Span.Parse(text).Length);

    private static int Whole(string text) => int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
        ? number
        : throw new FormatException($"'{text}' is not a whole number.");

    private static double Number(string text) => double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number)
        ? number
        : throw new FormatException($"'{text}' is not a number.");
}
