using System.Globalization;
using System.Text;

namespace Pourwright.Studio.Storage.Chain;

/// <summary>Rising whole numbers in few letters: the first, then each gap, with how often it comes: `1770368400000+300000*11+299000`.</summary>
public static class SeriesRuns
{
    /// <summary>Far above what one link ever names; a guard against a text that asks for all memory.</summary>
    private const int CountMax = 100_000;

    public static string Write(IReadOnlyList<long> rising)
    {
        var text = new StringBuilder().Append(rising[0]);
        for (var at = 1; at < rising.Count;)
        {
            var (gap, times) = (rising[at] - rising[at - 1], 1);
            while (at + times < rising.Count && rising[at + times] - rising[at + times - 1] == gap) times++;
            text.Append(CultureInfo.InvariantCulture, $"+{gap}").Append(times == 1 ? "" : $"*{times}");
            at += times;
        }
        return text.ToString();
    }

    /// <exception cref="FormatException">The text was not written by <see cref="Write"/>.</exception>
    public static IReadOnlyList<long> Read(string text)
    {
        var parts = text.Split('+');
        List<long> rising = [Number(parts[0], text)];
        foreach (var run in parts.Skip(1).Select(part => part.Split('*')))
        {
            var (gap, times) = (Number(run[0], text), run.Length == 1 ? 1 : Number(run[1], text));
            if (gap < 1 || times < 1 || times > CountMax - rising.Count) throw NoSeries(text);
            for (var i = 0; i < times; i++) rising.Add(rising[^1] + gap);
        }
        return rising;
    }

    private static long Number(string part, string text) =>
        long.TryParse(part, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number) ? number : throw NoSeries(text);

    private static FormatException NoSeries(string text) => new($"\"{text}\" is no series.");
}
