using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys.Cli;

/// <summary>Advice, typed into the command line against a real node. The clock stands at Friday 6 February 2026, 09:00 in Lisbon.</summary>
public sealed class AdviceTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync();
        _shell = new(_node.Channel.Target, _node.Clock);
        await _shell.DoAsync("studio create alder --name Alder");
        await _shell.DoAsync("site create north -n 'North Hall' -z Europe/Lisbon -c 'owner=Ines <ines@example.org>'");
        await _shell.DoAsync("bench create north/shelf --planned 20C");
        await _shell.DoAsync("resin create deep -n Deep --parts 42 --tolerance 2 --class deep-casting --max-depth 50mm");
        await _shell.DoAsync("resin create quick -n Quick --parts 50 --tolerance 2 --class fast-coating");
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task PourPlan_OfADeepPiece_ShowsLayersOnTheClockOfTheSite()
    {
        var plan = await _shell.DoAsync("pour plan 60mm -r deep --bench north/shelf -t 20C --at 'tomorrow 10:00' --vessel 20cmx25cm --work 40min");

        Assert.Contains("Plan: 60 mm of deep at north/shelf", plan, StringComparison.Ordinal);
        Assert.Contains("RUNAWAY", plan, StringComparison.Ordinal);
        Assert.Contains("Sat 7 Feb 10:00", plan, StringComparison.Ordinal);
        Assert.Contains("Times: Europe/Lisbon.", plan, StringComparison.Ordinal);
        Assert.Contains("CAUTION: Never leave leftovers in the pot", plan, StringComparison.Ordinal);
        // The two layers of 30 mm, in their rows.
        Assert.Equal(2, plan.Split('\n').Count(line => line.Contains("30 mm", StringComparison.Ordinal) && line.Contains("Feb", StringComparison.Ordinal)));
        AssertNarrow(plan);
    }

    [Fact]
    public async Task PourPlan_ThatCannotBe_SaysTheWayOut()
    {
        var plan = await _shell.DoAsync("pour plan 40mm -r quick --room 20C -t 20C");
        Assert.Contains("NO PLAN.", plan, StringComparison.Ordinal);
        Assert.Contains("Way out: a cooler room, a slower resin, or 5 layers", plan, StringComparison.Ordinal);
    }

    [Fact]
    public async Task PourWhatIf_InLayers_ComparesBeforeAndAfter()
    {
        var answer = await _shell.DoAsync("pour what-if -r deep -l 50mm@20C --room 20C --session '2026-02-16 09:00' --layers 2");
        Assert.Contains("Poured in 2 layers the piece is safe to saw and plane", answer, StringComparison.Ordinal);
        Assert.Contains("POSSIBLE", answer, StringComparison.Ordinal);
        Assert.Contains("HANDLE safe", answer, StringComparison.Ordinal);
        AssertNarrow(answer);
    }

    [Fact]
    public async Task PieceWhatIfAndSecondDay_OfAPouredPiece_Answer()
    {
        await PourAsync();

        var refused = await _shell.DoAsync("piece what-if piece-7 --hold 30C");
        Assert.Contains("REFUSED.", refused, StringComparison.Ordinal);
        Assert.Contains("Warm not before", refused, StringComparison.Ordinal);

        var warm = await _shell.DoAsync("piece what-if piece-7 --warm --session '2026-02-09 12:00'");
        Assert.Contains("Hold", warm, StringComparison.Ordinal);
        Assert.Contains("no flame, no heat gun", warm, StringComparison.Ordinal);
        AssertNarrow(warm);

        var day = await _shell.DoAsync("piece second-day piece-7 --target 36mm --thickness 40mm --length 400mm --width 250mm --cutter helical-head");
        Assert.Contains("STOP before saw and planer: CURING, safe ", day, StringComparison.Ordinal);
    }

    [Fact]
    public async Task SecondDay_OfAHardPiece_IsATable()
    {
        await PourAsync();
        await _node.AdvanceAsync(TimeSpan.FromDays(12));
        await _shell.DoAsync("piece check piece-7 firm --by Ana");

        var day = await _shell.DoAsync("piece second-day piece-7 --target 36mm --thickness 40mm --length 400mm --width 250mm --cutter straight-knives --end 250x40mm "
            + "--set first-grit=80 --set coats=1 --set soak=20min");

        Assert.Contains("PLANE face 1", day, StringComparison.Ordinal);
        Assert.Contains("set to 41.5 mm, takes 0 mm", day, StringComparison.Ordinal);
        Assert.Contains("SAND grit 80", day, StringComparison.Ordinal);
        Assert.DoesNotContain("COAT 2", day, StringComparison.Ordinal);
        Assert.Contains("20 min", day, StringComparison.Ordinal);
        Assert.DoesNotContain("STOP", day, StringComparison.Ordinal);
        AssertNarrow(day);
    }

    [Theory]
    [InlineData("piece what-if piece-7", "Ask one change")]
    [InlineData("piece what-if piece-7 --warm --move 2d", "Ask one change")]
    [InlineData("pour plan 40mm -r deep --room 20C -t 20C --vessel 20cm", "write 200mmx250mm")]
    [InlineData("piece second-day piece-7 --target 36mm --length 40cm --width 25cm --cutter helical-head --set speed=2", "high-spots, pass,")]
    public async Task Question_WrittenWrongly_EndsWith2(string command, string says)
    {
        await PourAsync();
        var (code, _, error) = await _shell.RunAsync(command);
        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains(says, error, StringComparison.Ordinal);
    }

    [Fact]
    public void Sizes_WithOneUnit_ShareIt() => Assert.Equal((new Depth(400), new Depth(250)), Pairs.Sizes("400x250mm", ""));

    [Fact]
    public void Habits_AreReadByName()
    {
        var habits = WorkHabits.Read(["pass=0.5mm", "grits=80,120,180", "recoat=1d"]);
        Assert.Equal((0.5, 86_400), (habits.PassMm, habits.RecoatDuration.Seconds));
        Assert.Equal([80, 120, 180], habits.Grit);
        Assert.False(habits.HasHighSpotsMm);
    }

    private async Task PourAsync()
    {
        await _shell.DoAsync("lot receive lot-a1 -p a -r deep --code A-2291 --can can-a1=5kg");
        await _shell.DoAsync("lot receive lot-b1 -p b -r deep --code B-118 --can can-b1=4kg");
        await _shell.DoAsync("mix record mix-1 -r deep -d can-a1=1kg -d can-b1=420g -t 20C --by Ana");
        await _shell.DoAsync("piece create piece-7 -l 7 -m Rui --session '2026-02-10 09:00'");
        await _shell.DoAsync("piece pour piece-7 mix-1 1.2kg 36mm --bench north/shelf --by Ana");
        await _node.SettleAsync();
    }

    /// <summary>Rows of tables fit a terminal of 80 columns; sentences break where they must.</summary>
    private static void AssertNarrow(string output) =>
        Assert.DoesNotContain(output.Split('\n'), line => line.Contains("  ", StringComparison.Ordinal) && line.TrimEnd().Length > 80);
}
