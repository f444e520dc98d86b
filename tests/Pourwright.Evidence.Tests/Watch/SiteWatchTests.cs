using Pourwright.Evidence.Watch;

namespace Pourwright.Evidence.Tests.Watch;

public sealed class SiteWatchTests
{
    private static IEnumerable<Inspection> Inspect(string site, string pattern) => pattern.Select((c, i) => new Inspection(site, $"{site}{i}", c == 'S'));

    // f S f f: 0 8 7 6.
    [Fact]
    public void States_RunUnderWay_NamesThePieceWithWhichItLeftZero()
    {
        var state = Assert.Single(SiteWatch.States(Inspect("n", "fSff")));
        Assert.Equal((6, "n1", 3, 1), (state.Sum, state.FirstPiece, state.Pieces, state.Defective));
        Assert.Empty(state.Alarms);
    }

    // S and eight fine ones: 8 7 6 5 4 3 2 1 0.
    [Fact]
    public void States_RunThatRanOut_HasNone()
    {
        var state = Assert.Single(SiteWatch.States(Inspect("n", "Sffffffff")));
        Assert.Equal((0, null, 0), (state.Sum, state.FirstPiece, state.Pieces));
    }

    // North calls with 8 16 24; south, inspected between, stands at 8.
    [Fact]
    public void States_TwoSites_EachByItself()
    {
        Inspection[] north = [.. Inspect("n", "SSSS")], south = [.. Inspect("s", "S")];
        var states = SiteWatch.States([north[0], north[1], south[0], north[2], north[3]]);
        Assert.Equal(["n 8 1", "s 8 0"], states.Select(state => $"{state.Site} {state.Sum} {state.Alarms.Count}"));
        Assert.Equal(("n0", "n2"), (states[0].Alarms[0].FirstPiece, states[0].Alarms[0].LastPiece));
    }
}
