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

    [GeneratedRegex(@"\{\d\}")]
    private static partial Regex Hole();

    [GeneratedRegex(@"(?:Manner|Texts|texts)(?:\[|\.Say\()""([A-Z][A-Za-z.]+)""")]
    private static partial Regex NamedKey();

    [GeneratedRegex(@"\$""([A-Z][A-Za-z.]+)\{|say\(`([A-Z][A-Za-z]+)\$\{")]
    private static partial Regex Beginning();
}
