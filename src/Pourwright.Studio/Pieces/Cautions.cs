using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

internal static class Cautions
{
    /// <summary>A caution; <paramref name="facts"/> hold every value of its text.</summary>
    public static Caution Of(string reason, string text, params (string Key, string Value)[] facts) =>
        new() { Reason = reason, Text = text, Facts = { facts.ToDictionary(fact => fact.Key, fact => fact.Value) } };

    /// <summary>For programs: `2026-05-02 13:30:00Z`.</summary>
    public static string Utc(long ms) => $"{Instants.FromUnixMs(ms):u}";
}
