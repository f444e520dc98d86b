using System.Globalization;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Advising;

/// <summary>Sentences with times on the clock of a site.</summary>
internal static class SiteWords
{
    /// <summary>
    /// A sentence, without its full stop. Its times read "Tue 3 Mar 18:00"; the offset stands once at the end, or at every time
    /// where the clocks change between them.
    /// </summary>
    /// <param name="zone">Of the site.</param>
    /// <param name="write">Writes the sentence with what turns Unix ms into words.</param>
    public static string Sentence(TimeZoneInfo zone, Func<Func<long, string>, string> write)
    {
        HashSet<string> offsets = [];
        var plain = write(ms =>
        {
            offsets.Add(Offset(ms, zone));
            return Time(ms, zone);
        });
        return offsets.Count > 1 ? write(ms => $"{Time(ms, zone)} {Offset(ms, zone)}") + "." : $"{plain}{string.Concat(offsets.Select(o => $" {o}"))}.";
    }

    private static string Time(long ms, TimeZoneInfo zone) => Local(ms, zone).ToString("ddd d MMM HH:mm", CultureInfo.InvariantCulture);

    private static string Offset(long ms, TimeZoneInfo zone) => Local(ms, zone).ToString("'(UTC'zzz')'", CultureInfo.InvariantCulture);

    private static DateTimeOffset Local(long ms, TimeZoneInfo zone) => TimeZoneInfo.ConvertTime(Instants.FromUnixMs(ms), zone);
}
