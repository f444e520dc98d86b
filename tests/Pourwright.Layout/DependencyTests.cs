using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Pourwright.Layout;

/// <summary>What the project leans on is known, used and reasoned.</summary>
public sealed class DependencyTests
{
    private static readonly string Developers = File.ReadAllText(Repository.Path("DEVELOPERS.md"));

    private static readonly List<string> Packages =
        [.. XDocument.Load(Repository.Path("Directory.Packages.props")).Descendants("PackageVersion").Select(item => item.Attribute("Include")!.Value)];

    [Fact]
    public void EveryPackage_HasItsReason() =>
        Assert.DoesNotContain(Packages, package => !Regex.IsMatch(Developers, $@"[| ,]{Regex.Escape(package)}\b(?!\.)"));

    [Fact]
    public void EveryPackage_IsUsed()
    {
        var projects = string.Concat(Repository.Sources("src", "*.csproj").Concat(Repository.Sources("tests", "*.csproj")).Append("tests/Directory.Build.props")
            .Select(path => File.ReadAllText(Repository.Path(path))));
        Assert.DoesNotContain(Packages, package => !projects.Contains($"\"{package}\"", StringComparison.Ordinal));
    }

    /// <summary>Later versions of the bus need a paid licence.</summary>
    [Fact]
    public void Bus_StaysOnItsLastFreeVersion() => Assert.Equal("8.5.12", XDocument.Load(Repository.Path("Directory.Packages.props"))
        .Descendants("PackageVersion").Single(item => item.Attribute("Include")!.Value == "MassTransit").Attribute("Version")!.Value);
}
