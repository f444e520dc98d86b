using System.Text.RegularExpressions;
using Pourwright.Cure.Sources;

namespace Pourwright.Cure.Tests.Sources;

/// <summary>A citation is worth something when it leads somewhere.</summary>
public partial class BibliographyTests
{
    [Fact]
    public void Keys_CitedInComments_AllStandInTheBibliography()
    {
        var cited = CitedKeys();
        Assert.Contains("Sandu1997", cited);
        Assert.Empty(cited.Except(Bibliography.Sources.Keys));
    }

    [Fact]
    public void Sources_OfTheBibliography_AreAllCited()
    {
        Assert.Empty(Bibliography.Sources.Keys.Except(CitedKeys()));
    }

    [Fact]
    public void Sources_WithADoi_GiveItInItsForm()
    {
        Assert.All(Bibliography.Sources.Values.Where(s => s.Doi is not null), s => Assert.Matches(@"^10\.\d{4,9}/\S+$", s.Doi!));
        Assert.All(Bibliography.Sources.Values, s => Assert.Contains(s.Key[^4..], s.Citation));
    }

    private static HashSet<string> CitedKeys() =>
    [
        .. Directory.EnumerateFiles(Path.Combine(Root(), "src", "Pourwright.Cure"), "*.cs", SearchOption.AllDirectories)
            .SelectMany(File.ReadLines)
            .Where(line => line.TrimStart().StartsWith("//", StringComparison.Ordinal))
            .SelectMany(line => Key().Matches(line).Select(m => m.Groups[1].Value)),
    ];

    private static string Root()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "Pourwright.slnx")))
            folder = folder.Parent ?? throw new InvalidOperationException("Run the tests from a clone of the repository.");
        return folder.FullName;
    }

    [GeneratedRegex(@"\[([A-Z][A-Za-z]+[0-9]{4})\]")]
    private static partial Regex Key();
}
