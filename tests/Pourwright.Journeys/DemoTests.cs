using Pourwright.Host.Demo;
using Pourwright.Testing;

namespace Pourwright.Journeys;

/// <summary>The demo is the main job: it must tell its whole story.</summary>
public sealed class DemoTests
{
    [Fact]
    public async Task Demo_TellsTheWholeStory_AndWritesThePage()
    {
        using var output = new StringWriter();

        await DemoCommand.RunAsync([], output);

        var told = output.ToString();
        Assert.Contains("42", told, StringComparison.Ordinal);
        // The mistake is refused, the cold room is noticed, warmth puts it right, a person confirms, the trace leads to the topped-up jug.
        Assert.All(
            ["two to one", "withdrawn", "firm. Out of the mould.", "B-2606", "Lot B-2606 went into 2 pieces", "is refused"],
            part => Assert.Contains(part, told, StringComparison.Ordinal));
        var page = told.Split('\n').Single(line => line.Contains("trace-piece-7.pdf", StringComparison.Ordinal)).Split(": ")[^1].Trim();
        Assert.StartsWith("%PDF", await File.ReadAllTextAsync(page), StringComparison.Ordinal);
        Directory.Delete(Path.GetDirectoryName(page)!, recursive: true);
    }

    /// <summary>A season of the same ten weeks with fewer pieces: in an ordinary run there is no time for 600.</summary>
    [Fact]
    public async Task Season_WithABadLot_FindsItBlamesNobodyStronglyAndWritesItsPages()
    {
        using var output = new StringWriter();

        await DemoCommand.RunAsync(["--season", "--pieces", "240"], output);

        var told = output.ToString();
        // The watch calls, the lot is held before its cause is argued, the counts name it first, people are told.
        Assert.All(
            ["The watch calls the owner", "It began with piece piece-", $"lot {SeasonPlan.BadLot} is held that evening", "Hold first", "List complete in", "have answered", "What this cannot say"],
            part => Assert.Contains(part, told, StringComparison.Ordinal));
        var asked = told[told.IndexOf("Asked again:", StringComparison.Ordinal)..].Split('\n')[1];
        Assert.Contains($"B lot {SeasonPlan.BadLot}: strong", asked, StringComparison.Ordinal);
        Assert.DoesNotContain($"Instructor {SeasonPlan.WorseInstructor}: strong", told, StringComparison.OrdinalIgnoreCase);
        var pages = told.Split('\n').Where(line => line.Contains(".pdf", StringComparison.Ordinal)).Select(line => line.Split(": ")[^1].Trim()).ToDictionary(path => Path.GetFileName(path));
        Assert.Equal(["defect-report.pdf", "drill-certificate.pdf", "recall.pdf", "season.pdf"], pages.Keys.Order());
        AssertSays(pages["defect-report.pdf"], pageCount: 1, $"B lot {SeasonPlan.BadLot}", "What to do now");
        AssertSays(pages["season.pdf"], pageCount: 1, $"B lot {SeasonPlan.BadLot} stands out", "Open recalls", "recall-winter");
        AssertSays(pages["recall.pdf"], pageCount: null, "People", SeasonPlan.BadLot);
        AssertSays(pages["drill-certificate.pdf"], pageCount: null, "What this does not prove");
        Directory.Delete(Path.GetDirectoryName(pages["season.pdf"])!, recursive: true);
    }

    private static void AssertSays(string path, int? pageCount, params string[] words)
    {
        var pdf = File.ReadAllBytes(path);
        Assert.Equal(pageCount ?? PrintedPage.Count(pdf), PrintedPage.Count(pdf));
        if (PrintedPage.Text(pdf) is { } text) Assert.All(words, each => Assert.Contains(each, text, StringComparison.Ordinal));
    }
}
