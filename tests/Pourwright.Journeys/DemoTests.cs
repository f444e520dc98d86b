using Pourwright.Host.Demo;

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
}
