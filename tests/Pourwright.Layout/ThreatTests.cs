using System.Text.RegularExpressions;

namespace Pourwright.Layout;

/// <summary>The page of threats against the tests it names.</summary>
public sealed partial class ThreatTests
{
    private static readonly string Page = File.ReadAllText(Repository.Path("deploy/threats.md"));

    [Fact]
    public void EveryTestThatIsNamed_Exists()
    {
        var tests = Repository.Sources("tests", "*.cs").SelectMany(path => Declared().Matches(File.ReadAllText(Repository.Path(path)))).Select(match => match.Groups[1].Value).ToHashSet();
        var named = Named().Matches(Page).Select(match => match.Groups[1].Value).ToList();

        Assert.True(named.Count > 30);
        Assert.Empty(named.Except(tests));
    }

    /// <summary>A row that nothing shows is a promise: it names a test, or says in words what else shows it.</summary>
    [Fact]
    public void EveryRow_HasFiveCells_AndSaysWhatShowsIt() => Assert.All(
        Page.Split('\n').Where(line => line.StartsWith('|')).Skip(2).Select(line => line.Split('|')),
        cells => Assert.True(cells.Length == 7 && cells[4].Trim().Length > 0, string.Join('|', cells)));

    [GeneratedRegex(@"\[\w*(?:Fact|Theory)[^\]]*\][\s\S]*?public (?:async )?(?:Task|void) (\w+)\(")]
    private static partial Regex Declared();

    [GeneratedRegex("`([A-Z][A-Za-z0-9]*_[A-Za-z0-9_]+)`")]
    private static partial Regex Named();
}
