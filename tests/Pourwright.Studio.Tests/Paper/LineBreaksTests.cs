using CsCheck;
using Pourwright.Studio.Paper;

namespace Pourwright.Studio.Tests.Paper;

public sealed class LineBreaksTests
{
    [Theory]
    [InlineData("one two three", 7, new[] { "one two", "three" })]
    [InlineData("one two three", 100, new[] { "one two three" })]
    [InlineData("unbreakable", 4, new[] { "unbr", "eaka", "ble" })]
    [InlineData("river-table-morning", 13, new[] { "river-table-", "morning" })]
    [InlineData("-unbreakable", 4, new[] { "-unb", "reak", "able" })]
    [InlineData("🪵🪵🪵", 3, new[] { "🪵", "🪵", "🪵" })]
    [InlineData("🪵", 1, new[] { "🪵" })]
    [InlineData("", 4, new[] { "" })]
    public void Wrap_ByCharacters_BreaksBetweenWordsAndCutsWhatIsTooLong(string text, double width, string[] lines) =>
        Assert.Equal(lines, LineBreaks.Wrap(text, width, part => part.Length));

    [Fact]
    public void Wrap_AnyText_LosesNothingAndFits() => Gen.Select(Gen.String["ab c-"], Gen.Int[1, 12]).Sample((text, width) =>
    {
        var lines = LineBreaks.Wrap(text, width, part => part.Length);
        Assert.All(lines, line => Assert.True(line.Length <= width, line));
        Assert.Equal(text.Replace(" ", "", StringComparison.Ordinal), string.Concat(lines).Replace(" ", "", StringComparison.Ordinal));
    });

    [Fact]
    public void Fit_AllFit_GivesEachItsWish() => Assert.Equal([3, 5], GridWidths.Fit([["abc", "de"], ["a", "fghij"]], 20, part => part.Length));

    [Fact]
    public void Fit_TooWide_LetsTheWidestGiveWay()
    {
        // Wishes 2, 11 and 11 into 16: the first keeps 2, the others share 14.
        var widths = GridWidths.Fit([["ab", "aa bb cc dd", "aa bb cc dd"]], 16, part => part.Length);

        Assert.Equal([2, 7, 7], widths.Select(width => Math.Round(width, 6)));
    }

    [Fact]
    public void Fit_LongWordBesideProse_KeepsTheWordWhole()
    {
        var widths = GridWidths.Fit([["abcdefgh", "aa bb cc dd"]], 12, part => part.Length);

        Assert.Equal([8, 4], widths.Select(width => Math.Round(width, 6)));
    }

    [Fact]
    public void Fit_WordsThatCannotAllStayWhole_CutsTheLongestFirst()
    {
        var widths = GridWidths.Fit([["abc", "abcdefghijklmnop"]], 12, part => part.Length);

        Assert.Equal([3, 9], widths.Select(width => Math.Round(width, 6)));
    }

    [Fact]
    public void Fit_AnyTable_NeverExceedsTheLine() =>
        Gen.Select(Gen.String["ab -"].Array[1, 8], Gen.Int[1, 60]).Sample((cells, available) =>
            Assert.True(GridWidths.Fit([cells], available, part => part.Length).Sum() <= available + 1e-9));
}
