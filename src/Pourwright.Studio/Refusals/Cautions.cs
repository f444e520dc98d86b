using Pourwright.V1;

namespace Pourwright.Studio.Refusals;

/// <summary>Makes what a person should know before going on.</summary>
internal static class Cautions
{
    /// <summary>A caution; <paramref name="facts"/> hold every value of its text.</summary>
    public static Caution Of(string reason, string text, params ReadOnlySpan<(string Key, string Value)> facts)
    {
        var caution = new Caution { Reason = reason, Text = text };
        foreach (var (key, value) in facts) caution.Facts.Add(key, value);
        return caution;
    }
}

/// <summary>Makes what a person could do.</summary>
internal static class Advise
{
    /// <summary>A piece of advice; <paramref name="facts"/> hold every value of its text.</summary>
    public static Advice Of(string kind, string text, params ReadOnlySpan<(string Key, string Value)> facts)
    {
        var advice = new Advice { Kind = kind, Text = text };
        foreach (var (key, value) in facts) advice.Facts.Add(key, value);
        return advice;
    }
}

/// <summary>Makes what is so.</summary>
internal static class Stated
{
    /// <summary>A statement; <paramref name="facts"/> hold every value of its sentence.</summary>
    public static Statement Of(string kind, string text, params ReadOnlySpan<(string Key, string Value)> facts)
    {
        var statement = new Statement { Kind = kind, Text = text };
        foreach (var (key, value) in facts) statement.Facts.Add(key, value);
        return statement;
    }
}
