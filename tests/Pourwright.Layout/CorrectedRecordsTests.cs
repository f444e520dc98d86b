using System.Text.RegularExpressions;

namespace Pourwright.Layout;

/// <summary>History is read as it was corrected: no statement goes past the views to the rows as they were recorded.</summary>
public sealed partial class CorrectedRecordsTests
{
    /// <summary>Statements that speak of the rows themselves: existence by name, what a correction is of, and what no correction touches.</summary>
    private static readonly string[] OfRowsThemselves =
    [
        "FROM pours WHERE name = @name",
        "FROM pours WHERE piece = @piece)",
        "FROM pours p JOIN pieces i ON i.name = p.piece",
        "OR EXISTS (SELECT 1 FROM pours p",
    ];

    [Fact]
    public void Pours_AreReadThroughTheirView() => Assert.Empty(Statements()
        .Where(line => RecordedPours().IsMatch(line.Text) && !OfRowsThemselves.Any(own => line.Text.Contains(own, StringComparison.Ordinal)))
        .Select(line => $"{line.Path}: {line.Text.Trim()}"));

    [Fact]
    public void Draws_AreReadThroughTheirView() => Assert.Empty(Statements()
        .Where(line => line.Text.Contains("container_events", StringComparison.Ordinal) && line.Text.Contains("'mixed'", StringComparison.Ordinal))
        .Select(line => $"{line.Path}: {line.Text.Trim()}"));

    [Fact]
    public void MassesOfMixes_AreReadThroughTheirView() => Assert.DoesNotContain(
        Repository.Sources("src/Pourwright.Studio", "*.cs"), path => RecordedMasses().IsMatch(File.ReadAllText(Repository.Path(path))));

    private static IEnumerable<(string Path, string Text)> Statements() => Repository.Sources("src/Pourwright.Studio", "*.cs")
        .SelectMany(path => File.ReadLines(Repository.Path(path)).Select(text => (path, text)));

    [GeneratedRegex(@"\b(FROM|JOIN) pours\b")]
    private static partial Regex RecordedPours();

    // A mass or a ratio of a mix in the columns of a statement that goes on to take it from the table.
    [GeneratedRegex(@"SELECT(?:(?!SELECT|"""""")[\s\S])*(?:a_mass_mg|b_mass_mg|ratio_deviation_percent|hardener_parts_per_100_resin)(?:(?!SELECT|"""""")[\s\S])*\b(?:FROM|JOIN) mixes\b")]
    private static partial Regex RecordedMasses();
}
