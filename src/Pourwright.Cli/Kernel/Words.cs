using System.ComponentModel;
using System.Globalization;
using System.Text.RegularExpressions;

namespace Pourwright.Cli.Kernel;

/// <summary>Values of an enumeration as people write them: <c>hand-over</c>, <c>soft-patches</c>.</summary>
public static partial class Words
{
    /// <summary>The value in lower case with spaces; nothing for the unspecified one.</summary>
    public static string Of<T>(T value)
        where T : struct, Enum => IsSaid(value) ? Hump().Replace(value.ToString(), " ").ToLowerInvariant() : "";

    /// <summary>Finds the value; case, spaces, hyphens and underscores do not matter.</summary>
    /// <exception cref="FormatException">There is no such value; the text lists them.</exception>
    public static T Parse<T>(string text)
        where T : struct, Enum => Enum.GetValues<T>().Where(IsSaid).Cast<T?>()
        .FirstOrDefault(value => Bare(value.ToString()!).Equals(Bare(text), StringComparison.OrdinalIgnoreCase))
        ?? throw new FormatException($"'{text}' is not one of {Choices<T>()}.");

    /// <summary>Every value, as it may be written.</summary>
    public static string Choices<T>()
        where T : struct, Enum => string.Join(", ", Enum.GetValues<T>().Where(IsSaid).Select(value => Of(value).Replace(' ', '-')));

    private static bool IsSaid<T>(T value)
        where T : struct, Enum => Convert.ToInt32(value, CultureInfo.InvariantCulture) != 0;

    private static string Bare(string text) => Separator().Replace(text, "");

    [GeneratedRegex("(?<=[a-z])(?=[A-Z])")]
    private static partial Regex Hump();

    [GeneratedRegex(@"[\s_-]")]
    private static partial Regex Separator();
}

/// <summary>Lets the command line read an enumeration through <see cref="Words"/>.</summary>
internal sealed class WordConverter<T> : TypeConverter
    where T : struct, Enum
{
    public override bool CanConvertFrom(ITypeDescriptorContext? context, Type sourceType) => sourceType == typeof(string);

    public override object? ConvertFrom(ITypeDescriptorContext? context, CultureInfo? culture, object value) =>
        Words.Parse<T>((string)value);
}
