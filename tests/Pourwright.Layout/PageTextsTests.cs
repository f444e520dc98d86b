using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Pourwright.Layout;

/// <summary>What the pages say stands in resource files, complete in both languages.</summary>
public sealed partial class PageTextsTests
{
    private static readonly Dictionary<string, string> English = Read("Texts.resx"), German = Read("Texts.de.resx");

    [Fact]
    public void EveryText_StandsInBothLanguages() => Assert.Equal(English.Keys.Order(), German.Keys.Order());

    [Fact]
    public void NoText_IsEmpty() => Assert.DoesNotContain(English.Concat(German), text => text.Value.Trim().Length == 0);

    [Fact]
    public void Both_TakeTheSameValues() => Assert.DoesNotContain(English, text => !Holes(text.Value).SetEquals(Holes(German[text.Key])));

    [Fact]
    public void EveryText_IsSaidSomewhere() => Assert.DoesNotContain(English.Keys, key => !IsUsed(key));

    /// <summary>Keys that a page names in full.</summary>
    [Fact]
    public void NoPage_SaysWhatIsNotThere() => Assert.Empty(Sources().SelectMany(source => NamedKey().Matches(source).Select(match => match.Groups[1].Value))
        .Distinct().Except(English.Keys));

    /// <summary>Of a kind that the API does not know, nothing would ever be said.</summary>
    [Theory]
    [InlineData("Caution.")]
    [InlineData("Advice.")]
    [InlineData("Reason.")]
    [InlineData("Refusal.")]
    [InlineData("Finding.")]
    [InlineData("Gap.")]
    [InlineData("Obstacle.")]
    public void EveryText_OfAKindOfTheApi_IsOfOneThatThereIs(string group) => Assert.DoesNotContain(
        English.Keys.Where(key => key.StartsWith(group, StringComparison.Ordinal)).Select(key => key[group.Length..]),
        kind => !Service.Contains($"\"{kind}\"", StringComparison.Ordinal));

    /// <summary>What moved a forecast is said on every wall.</summary>
    [Fact]
    public void EveryStatement_OfAForecast_HasItsText() => Assert.DoesNotContain(
        Stated().Matches(File.ReadAllText(Repository.Path("src/Pourwright.Studio/Forecasts/ForecastReason.cs"))).Select(match => $"Reason.{match.Groups[1].Value}"),
        key => !English.ContainsKey(key));

    private static readonly string Service = string.Join('\n', Repository.Sources("src/Pourwright.Studio", "*.cs").Concat(Repository.Sources("src/Pourwright.Evidence", "*.cs")).Select(path => File.ReadAllText(Repository.Path(path))));

    private static Dictionary<string, string> Read(string file) => XDocument.Load(Repository.Path($"src/Pourwright.Pages/Words/{file}"))
        .Descendants("data").ToDictionary(data => data.Attribute("name")!.Value, data => data.Element("value")!.Value);

    private static HashSet<string> Holes(string text) => [.. Hole().Matches(text).Select(match => match.Value)];

    /// <summary>In full, without its part as scripts name it, or by the beginning that a value is put behind.</summary>
    private static bool IsUsed(string key) => AllSources.Contains($"\"{key}\"", StringComparison.Ordinal)
        || AllSources.Contains($"'{key[(key.IndexOf('.') + 1)..]}'", StringComparison.Ordinal)
        || Beginning().Matches(AllSources).Any(match => (match.Groups[1].Value + match.Groups[2].Value) is { Length: > 1 } beginning
            && (key.StartsWith(beginning, StringComparison.Ordinal) || key.StartsWith($"Bench.{beginning}", StringComparison.Ordinal)));

    private static IEnumerable<string> Sources() => Repository.Sources("src/Pourwright.Pages", "*.razor")
        .Concat(Repository.Sources("src/Pourwright.Pages", "*.cs")).Concat(Repository.Sources("src/Pourwright.Pages", "*.js"))
        .Select(path => File.ReadAllText(Repository.Path(path)));

    private static readonly string AllSources = string.Join('\n', Sources());

    [GeneratedRegex(@"""([A-Z]+(?:_[A-Z]+)+)""")]
    private static partial Regex Stated();

    [GeneratedRegex(@"\{\w+\}")]
    private static partial Regex Hole();

    [GeneratedRegex(@"(?:Manner|Texts|texts)(?:\[|\.Say\()""([A-Z][A-Za-z.]+)""")]
    private static partial Regex NamedKey();

    [GeneratedRegex(@"\$""([A-Z][A-Za-z.]+)\{|say\(`([A-Z][A-Za-z]+)\$\{")]
    private static partial Regex Beginning();
}
