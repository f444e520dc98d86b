using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys.Cli;

/// <summary>A class from asking to its roster, typed into the command line against a real node. The clock stands at Friday 6 February 2026, 09:00.</summary>
public sealed class ClassDayTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync();
        _shell = new(_node.Channel.Target, _node.Clock);
        await SampleStudio.CreateAsync(_node);
        await SampleTeaching.CreateAsync(_node.Channel);
        await _shell.DoAsync("class create trays -n 'Trays in February' -o tray --at north --from 2026-02-16 --until 2026-02-28 --days sat --seats 1");
        await _shell.DoAsync("student create mara -n Mara --email mara@example.org --consent yes");
        await _shell.DoAsync("student create nuno -n Nuno");
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Class_Scheduled_ShowsItsDaysAndThatTheCureWasNotAsked()
    {
        var checkedOnly = await _shell.DoAsync("class schedule trays --site north --pour '2026-02-21 10:00' --machine '2026-02-28 9:00 by rui for 5h' --instructor ana --check");
        Assert.Contains("REQUESTED", await _shell.DoAsync("class show trays"), StringComparison.Ordinal);

        var card = await _shell.DoAsync("class schedule trays --site north --pour '2026-02-21 10:00' --machine '2026-02-28 9:00 by rui for 5h' --instructor ana");

        Assert.Equal(checkedOnly, card);
        Assert.Contains("CONFIRMED", card, StringComparison.Ordinal);
        Assert.Contains("trays/machine", card, StringComparison.Ordinal);
        // 09:00 and five hours.
        Assert.Contains("Sat 28 Feb 14:00", card, StringComparison.Ordinal);
        Assert.Contains("CAUTION: The days of 'Trays in February' were set by hand", card, StringComparison.Ordinal);
        Assert.Contains("Sat 21 Feb 10:00", await _shell.DoAsync("class list --state confirmed"), StringComparison.Ordinal);
        Assert.Contains("trays/machine", await _shell.DoAsync("class sessions --instructor rui"), StringComparison.Ordinal);
        Assert.DoesNotContain("trays/pour", await _shell.DoAsync("class sessions --instructor rui"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Seat_GivenBack_GoesToWhoWaits()
    {
        await _shell.DoAsync("student enrol mara trays");
        Assert.Contains("WAITING", await _shell.DoAsync("student enrol nuno trays --day 2026-02-21 --day 2026-02-28"), StringComparison.Ordinal);
        Assert.Contains("Mara", await _shell.DoAsync("class roster trays"), StringComparison.Ordinal);
        Assert.DoesNotContain("Nuno", await _shell.DoAsync("class roster trays"), StringComparison.Ordinal);

        await _shell.DoAsync($"student withdraw {await PlaceOfAsync("Mara")}");
        Assert.Contains("OFFERED", await _shell.DoAsync("class places trays"), StringComparison.Ordinal);
        await _shell.DoAsync($"student accept {await PlaceOfAsync("Nuno")}");

        Assert.Contains("Nuno", await _shell.DoAsync("class roster trays"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Tasks_Done_LeaveTheList()
    {
        await _shell.DoAsync("class schedule trays --site north --pour '2026-02-21 10:00' --machine '2026-02-28 9:00' --instructor ana");
        Assert.Contains("trays/leak-check", await _shell.DoAsync("class tasks"), StringComparison.Ordinal);

        await _shell.DoAsync("class done trays/leak-check --by Asa");

        Assert.DoesNotContain("trays/leak-check", await _shell.DoAsync("class tasks"), StringComparison.Ordinal);
        Assert.Contains("Asa", await _shell.DoAsync("class tasks --all --class trays"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Moulds_Booked_AreNotFree()
    {
        await _shell.DoAsync("mould create north/tray -n Tray --length 400mm --width 250mm --depth 40mm --count 2");
        await _shell.DoAsync("class schedule trays --site north --pour '2026-02-21 10:00' --machine '2026-02-28 9:00' --instructor ana");
        await _shell.DoAsync("mould book north/tray trays 1");

        Assert.Contains("2 free that fit, 1 wanted", await _shell.DoAsync("mould free trays --site north"), StringComparison.Ordinal);
        Assert.Contains("north/tray", await _shell.DoAsync("mould list --site north"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Class_GivenUp_SaysWhy_AndAPieceShowsWhatItIsCalled()
    {
        Assert.Contains("Trays in February (trays)", await _shell.DoAsync("piece create piece-7 -l 7 --site north --of-class trays"), StringComparison.Ordinal);

        Assert.Contains("too few students", await _shell.DoAsync("class cancel trays 'too few students'"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("tomorrow")]
    [InlineData("2026-02-21")]
    [InlineData("2026-02-21 25:00")]
    [InlineData("2026-02-30 10:00")]
    [InlineData("2026-02-21 10:00 with ana")]
    public void Session_WrittenOtherwise_IsRefused(string text) => Assert.Throws<FormatException>(
        () => WrittenSession.Parse(text, Session.Types.Kind.Pour, new("studios/alder", null), SampleStudio.North, "ana", Fold.Unspecified));

    [Fact]
    public void Session_WithNobody_AsksWhoTeaches() => Assert.Contains("Who teaches", Assert.Throws<FormatException>(
        () => WrittenSession.Parse("2026-02-21 10:00", Session.Types.Kind.Pour, new("studios/alder", null), SampleStudio.North, null, Fold.Unspecified)).Message, StringComparison.Ordinal);

    private async Task<string> PlaceOfAsync(string student) =>
        (await _shell.DoAsync("class places trays")).Split('\n').Single(line => line.Contains(student, StringComparison.Ordinal)).Trim().Split(' ')[0];
}
