using System.Globalization;
using Google.Rpc;
using Grpc.Core;
using Pourwright.V1;

namespace Pourwright.Pages.Words;

/// <summary>Something said, and the language it is in where that is not the page's own.</summary>
public sealed record Said(string Text, string? Language = null);

/// <summary>What the API says by a kind and its facts, in the words, units and clock times of one reader.</summary>
/// <remarks>
/// The texts are those of the resource files (<see cref="ChosenText"/>); how a fact is said follows from the unit at the end of its name.
/// Where there is no text for a kind, or a record of an earlier release lacks a fact, it is said as the API says it: in English.
/// </remarks>
public sealed class Sayings(Manner manner, TimeZoneInfo zone)
{
    public Said Of(Caution caution) => Say($"Caution.{caution.Reason}", caution.Facts, caution.Text);

    public Said Of(Advice advice) => Say($"Advice.{advice.Kind}", advice.Facts, advice.Text);

    /// <summary>Why a forecast is as it is, and what moved.</summary>
    public IEnumerable<Said> Reason(IReadOnlyList<Statement> statements, string reason) => statements.Count > 0
        ? statements.Select(statement => Say($"Reason.{statement.Kind}", statement.Facts, statement.Text))
        : reason.Length > 0 ? [English(reason)] : [];

    /// <summary>Why the API refused something.</summary>
    public Said Of(RpcException refusal)
    {
        var info = refusal.Trailers.GetValueBytes("grpc-status-details-bin") is { } details
            ? Google.Rpc.Status.Parser.ParseFrom(details).Details.Where(detail => detail.Is(ErrorInfo.Descriptor)).Select(detail => detail.Unpack<ErrorInfo>()).FirstOrDefault() : null;
        return Refusal(info?.Reason ?? "", info?.Metadata ?? [], refusal.Status.Detail);
    }

    /// <summary>Why the API refused something, by its reason and facts.</summary>
    public Said Refusal(string reason, IReadOnlyDictionary<string, string> facts, string english) => Say(
        reason.EndsWith("_NOT_FOUND", StringComparison.Ordinal) ? "Refused.NotFound"
            : reason.EndsWith("_EXISTS", StringComparison.Ordinal) ? "Refused.Exists"
            : $"Refusal.{reason}", facts, english);

    /// <summary>The text of a key with its facts; <paramref name="english"/> where it cannot be said so.</summary>
    public Said Say(string key, IReadOnlyDictionary<string, string> facts, string english) =>
        manner.Texts.Find(key) is { } text && ChosenText.Fill(text, facts, Fact) is { } said ? new(said) : English(english);

    private Said English(string text) => new(text, manner.Texts.Language == "en" ? null : "en");

    /// <summary>A value as people read it: `..._time` by the clock of the site, `..._mg`, `..._mm`, `..._celsius` in their units, resource names by their last part.</summary>
    private string Fact(string name, string value) => UnitOf(name) switch
    {
        "time" when DateTimeOffset.TryParse(value, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var instant) => manner.Texts.When(instant, zone),
        "mg" when long.TryParse(value, CultureInfo.InvariantCulture, out var mg) => manner.Mass(mg),
        "mm" when Read(value) is { } mm => manner.Length(mm),
        "celsius" when Read(value) is { } kelvin && name.EndsWith("_margin_celsius", StringComparison.Ordinal) => manner.TemperatureDifference(kelvin),
        "celsius" when Read(value) is { } celsius => manner.Temperature(celsius),
        "kelvin" when Read(value) is { } kelvin => manner.TemperatureDifference(kelvin),
        "minutes" when Read(value) is { } minutes => manner.Texts.Span(TimeSpan.FromMinutes(minutes)),
        "percent" or "ratio" or "resin" or "value" or "lowest" or "highest" when Read(value) is not null =>
            value.Replace(".", manner.Texts.Numbers.NumberDecimalSeparator, StringComparison.Ordinal),
        _ => string.Join(", ", value.Split(", ").Select(part => part.StartsWith("studios/", StringComparison.Ordinal) ? part[(part.LastIndexOf('/') + 1)..] : part)),
    };

    private static string UnitOf(string name) => name[(name.LastIndexOf('_') + 1)..];

    private static double? Read(string value) => double.TryParse(value, CultureInfo.InvariantCulture, out var number) ? number : null;
}
