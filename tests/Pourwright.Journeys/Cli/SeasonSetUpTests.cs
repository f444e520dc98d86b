using System.Text.Json;
using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Pourwright.Testing;
using DayOfWeek = Google.Type.DayOfWeek;

namespace Pourwright.Journeys.Cli;

/// <summary>What a season needs, typed into the command line against a real node. The clock stands at Friday 6 February 2026, 09:00.</summary>
public sealed class SeasonSetUpTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync();
        _shell = new(_node.Channel.Target, _node.Clock);
        foreach (var command in (string[])
        [
            "studio create alder --name Alder",
            "site create north -n 'North Hall' -z Europe/Lisbon --days mon-sat --hours 08:30-12:30,13:30-17:30",
            "site create south -n Quay -z Europe/Lisbon",
            "bench create north/shelf --places 12",
            "resin create deep -n Deep --parts 42 --tolerance 2 --class deep-casting --max-depth 50mm",
            "offering create tray -n 'Serving tray' -r deep --mould 400mmx250mm --depth 30mm --wood 60% --seats 8",
        ])
            await _shell.DoAsync(command);
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Site_WithItsHours_ShowsThem_AndAChangeKeepsTheRest()
    {
        await _shell.DoAsync("site change north --days tue-sat");

        var shown = await _shell.DoAsync("site show north");

        Assert.Matches(@"Open\s+Tue to Sat", shown);
        Assert.Matches(@"Taught\s+08:30 to 12:30, 13:30 to 17:30", shown);
    }

    [Fact]
    public async Task Bench_Changed_HoldsMore()
    {
        Assert.Matches(@"north/shelf\s+shelf\s+18 mm\s+12", await _shell.DoAsync("bench list --site north"));

        Assert.Matches(@"Places\s+20", await _shell.DoAsync("bench change north/shelf --places 20"));
    }

    [Fact]
    public async Task Room_SaidTwice_IsMadeThenChanged_AndRemoved()
    {
        Assert.Matches(@"Name\s+hall\s+Seats\s+8", await _shell.DoAsync("site room north/hall --seats 8"));
        Assert.Matches(@"Name\s+Attic\s+Seats\s+8", await _shell.DoAsync("site room north/hall -n Attic"));
        Assert.Matches(@"Seats\s+8", await _shell.DoAsync("site room north/hall"));
        Assert.Contains("Room north/hall is gone.", await _shell.DoAsync("site room north/hall --remove"), StringComparison.Ordinal);
        Assert.Contains("No room yet.", await _shell.DoAsync("site rooms --site north"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Room_AtNoSuchSite_IsRefusedAndShownToBeMissing()
    {
        Assert.Contains("SITE_NOT_FOUND", (await _shell.RunAsync("site room west/hall --seats 8")).Error, StringComparison.Ordinal);
        Assert.Contains("ROOM_NOT_FOUND", (await _shell.RunAsync("site room north/hall")).Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Station_SaidTwice_IsMadeThenChanged()
    {
        await _shell.DoAsync("site station north/planer --kind planer");
        await _shell.DoAsync("site station north/planer --a-day 4h30min");

        Assert.Matches(@"north/planer\s+planer\s+planer\s+1\s+4 h 30 min", await _shell.DoAsync("site stations --site north"));
    }

    // A day counts wholly: 24 to 26 December end at midnight after the 26th; in winter Lisbon keeps UTC.
    [Fact]
    public async Task Site_ClosedForDays_IsClosedToTheEndOfTheLast_UntilReopened()
    {
        var made = await _shell.DoAsync("site close north --from 2026-12-24 --to 2026-12-26 --because Holidays --json");
        var name = JsonDocument.Parse(made).RootElement.GetProperty("name").GetString()!;

        Assert.Matches(@"the whole site\s+Thu 24 Dec 00:00\s+Sun 27 Dec 00:00\s+Holidays", await _shell.DoAsync("site outages --site north"));
        await _shell.DoAsync($"site reopen {ResourceNames.Brief(name)}");
        Assert.Contains("Nothing is out of use.", await _shell.DoAsync("site outages --site north"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Station_OutOfUseForHours_IsSaidSo()
    {
        await _shell.DoAsync("site station north/planer --kind planer");

        var card = await _shell.DoAsync("site close north --station planer --from now --to 'tomorrow 13:00' --because 'New knives'");

        Assert.Matches(@"Out of use\s+station north/planer", card);
        Assert.Matches(@"From\s+Fri 6 Feb 09:00 \(now\)", card);
        Assert.Matches(@"Until\s+Sat 7 Feb 13:00", card);
    }

    [Fact]
    public async Task Travel_SaidAndTakenBack_IsListedBetween()
    {
        await _shell.DoAsync("site travel south north 45min");
        Assert.Matches(@"north\s+south\s+45 min", await _shell.DoAsync("site travel"));

        await _shell.DoAsync("site travel north south --none");
        Assert.Contains("No way is known yet", await _shell.DoAsync("site travel"), StringComparison.Ordinal);
        Assert.Equal(ExitCodes.Usage, (await _shell.RunAsync("site travel north south")).Code);
    }

    [Fact]
    public async Task Offering_Shown_SaysWhatTheDefaultsAre()
    {
        var card = await _shell.DoAsync("offering show tray");

        Assert.Matches(@"Mould\s+400 x 250 mm, 30 mm deep", card);
        Assert.Matches(@"Wood takes\s+60 %", card);
        Assert.Matches(@"Class\s+8 seats, 1 piece each", card);
        Assert.Matches(@"Machine day\s+7 h; a piece 10 min on the planer, 5 min on the saw", card);
        Assert.Matches(@"Seal coat\s+150 g/m² of deep", card);
        Assert.DoesNotContain("Finish", card, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Offering_Changed_TakesLayersAndAFinish_AndGivesThemUp()
    {
        var layered = await _shell.DoAsync("offering change tray -l 40mm -l 30mm+20h --finish 2h --finish-after 12h --finish-within 7");
        var plain = await _shell.DoAsync("offering change tray --one-pour --depth 45mm --no-finish");

        Assert.Matches(@"Mould\s+400 x 250 mm, 70 mm deep", layered);
        Assert.Matches(@"Poured in\s+40 mm, 30 mm after 20 h", layered);
        Assert.Matches(@"Finish\s+2 h, from 12 h to 7 days after the machine day", layered);
        Assert.Matches(@"Poured in\s+one pour", plain);
        Assert.DoesNotContain("Finish", plain, StringComparison.Ordinal);
        Assert.Matches(@"tray\s+Serving tray\s+deep\s+400 x 250 mm\s+45 mm\s+8\s+2", await _shell.DoAsync("offering list"));
    }

    [Theory]
    [InlineData("offering change tray --depth 51mm", "DEPTH_OVER_LIMIT")]
    [InlineData("offering change tray --finish 2h", "offering.finish.wait")]
    [InlineData("offering change tray --longest-gap 0", "offering.longest_gap_days")]
    public async Task Offering_ThatMayNotBe_IsRefused(string command, string said)
    {
        var (code, _, error) = await _shell.RunAsync(command);

        Assert.Equal(ExitCodes.Refused, code);
        Assert.Contains(said, error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Instructor_CreatedAndChanged_IsListed()
    {
        await _shell.DoAsync("instructor create ana -n Ana --home north --teaches tray --days mon-fri --farthest 90min --email ana@example.org");
        Assert.Matches(@"ana\s+Ana\s+north\s+tray\s+Mon to Fri\s+5\s+1 h 30 min one way", await _shell.DoAsync("instructor list"));

        var changed = await _shell.DoAsync("instructor change ana --teaches-nothing --no-email --days sat,sun --farthest 0min");

        Assert.Matches(@"Teaches\s+nothing yet", changed);
        Assert.Matches(@"On\s+Sat, Sun", changed);
        Assert.Matches(@"Goes at most\s+nowhere else", changed);
        Assert.DoesNotContain("example.org", changed, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Instructor_Away_IsListedUntilBack()
    {
        await _shell.DoAsync("instructor create ana -n Ana --home north");
        var made = await _shell.DoAsync("instructor away ana --from 2026-07-01 --to 2026-07-14 --because Holiday --json");
        var name = ResourceNames.Brief(JsonDocument.Parse(made).RootElement.GetProperty("name").GetString()!);

        Assert.Matches(@"Wed 2026-07-01\s+Tue 2026-07-14\s+Holiday", await _shell.DoAsync("instructor absences ana"));
        await _shell.DoAsync($"instructor back {name}");
        Assert.Contains("Never away.", await _shell.DoAsync("instructor absences ana"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("mon-fri", "Mon to Fri")]
    [InlineData("sat,sun", "Sat, Sun")]
    [InlineData("Wednesday", "Wed")]
    [InlineData("fri-mon", "Mon, Fri to Sun")]
    [InlineData("sun, mon ,tue", "Mon, Tue, Sun")]
    [InlineData("mon-sun", "every day")]
    public void Days_AsPeopleWriteThem_AreShownInOrder(string text, string shown) => Assert.Equal(shown, WeekdayWords.Of(WeekdayWords.Parse(text)));

    [Theory]
    [InlineData("")]
    [InlineData("mo")]
    [InlineData("mon-wed-fri")]
    [InlineData("mon,")]
    [InlineData("unspecified")]
    [InlineData("feiertag")]
    public void Days_ThatAreNone_SayHowToWriteThem(string text) =>
        Assert.Contains("write mon-fri", Assert.Throws<FormatException>(() => WeekdayWords.Parse(text)).Message, StringComparison.Ordinal);

    [Fact]
    public void Days_OverTheWeekend_GoRound() => Assert.Equal([DayOfWeek.Monday, DayOfWeek.Saturday, DayOfWeek.Sunday], WeekdayWords.Parse("sat-mon"));

    [Theory]
    [InlineData("2026-12-24", null, "2026-12-25")]
    [InlineData("2026-12-24", "2026-12-31", "2027-01-01")]
    [InlineData("tomorrow 09:00", "2026-02-28", "2026-03-01")]
    [InlineData("now", "tomorrow 13:00", "tomorrow 13:00")]
    public void Span_ToADay_EndsAfterIt(string from, string? until, string end) => Assert.Equal(end, WrittenSpan.End(from, until));

    [Fact]
    public void Span_FromATimeToNothing_IsAskedFor() => Assert.Throws<UsageException>(() => WrittenSpan.End("tomorrow 09:00", null));

    [Fact]
    public void Hours_AreAMorningAndAnAfternoon()
    {
        var hours = SiteNoun.ReadHours("08:30-12:30, 13:30-17:30");

        Assert.Equal((8, 30, 12, 30), (hours.MorningStart.Hours, hours.MorningStart.Minutes, hours.MorningEnd.Hours, hours.MorningEnd.Minutes));
        Assert.Equal((13, 30, 17, 30), (hours.AfternoonStart.Hours, hours.AfternoonStart.Minutes, hours.AfternoonEnd.Hours, hours.AfternoonEnd.Minutes));
        Assert.Throws<FormatException>(() => SiteNoun.ReadHours("09:00-17:00"));
    }
}
