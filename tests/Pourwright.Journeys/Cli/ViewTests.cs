using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Pourwright.V1;
using Spectre.Console.Rendering;
using static Pourwright.V1.PieceReadiness.Types;
using static Pourwright.V1.ResinCalibration.Types;

namespace Pourwright.Journeys.Cli;

/// <summary>What people read, as it comes through a pipe.</summary>
public class ViewTests
{
    private const string North = "studios/alder/sites/north";
    private const string Bench = North + "/benches/bench-1";

    /// <summary>Sunday 3 May 2026, 15:00 in Lisbon (UTC+1 in summer).</summary>
    private static readonly DateTimeOffset Now = new(2026, 5, 3, 14, 0, 0, TimeSpan.Zero);

    private static readonly SiteClock Clock = new([new() { Name = North, TimeZone = "Europe/Lisbon" }], Now);

    [Fact]
    public void Time_IsShownOnTheSitesClockWithItsDistance()
    {
        // 19:20 UTC is 20:20 in Lisbon, 5 h 20 min after 14:00 UTC.
        var time = Now.AddMinutes(320).ToTimestamp();

        Assert.Equal("Sun 3 May 20:20 (in 5 h 20 min)", Clock.AtAndIn(time, Bench));
        Assert.Equal("Sun 3 May 10:00 (5 h ago)", Clock.AtAndIn(Now.AddHours(-5).ToTimestamp(), North));
        Assert.Equal("Wed 31 Dec 2025 23:00", Clock.At(new DateTimeOffset(2025, 12, 31, 23, 0, 0, TimeSpan.Zero).ToTimestamp(), North));
        Assert.Equal("now", Clock.In(Now.AddSeconds(59).ToTimestamp()));
    }

    [Fact]
    public void Time_InTheHourThatAutumnRepeats_ShowsItsOffset() =>
        Assert.Equal("Sun 25 Oct 01:30 +00:00", Clock.At(new DateTimeOffset(2026, 10, 25, 1, 30, 0, TimeSpan.Zero).ToTimestamp(), North));

    [Fact]
    public void Time_WhereSitesDisagree_ShowsItsOffset()
    {
        var two = new SiteClock([new() { Name = North, TimeZone = "Europe/Lisbon" }, new() { Name = "studios/alder/sites/east", TimeZone = "Europe/Berlin" }], Now);

        Assert.Equal("Sun 3 May 15:00 +01:00", two.At(Now.ToTimestamp(), Bench));
        Assert.Equal("Sun 3 May 16:00 +02:00", two.At(Now.ToTimestamp(), "studios/alder/sites/east"));
        Assert.Equal("Sun 3 May 14:00 UTC", two.At(Now.ToTimestamp(), null));
    }

    [Fact]
    public void Readiness_SaysEachStateInWordsAndPutsWhatWaitsFirst()
    {
        var text = Plain(ReadyVerb.Rows(
        [
            Piece("7", Rung.Types.State.Curing, Now.AddMinutes(320)),
            Piece("8", Rung.Types.State.CheckDue, Now.AddHours(-1)),
            Piece("9", Rung.Types.State.Ready, Now.AddHours(-2)),
            Piece("10", Rung.Types.State.Contradicted, Now.AddHours(-3)),
            Piece("11", Rung.Types.State.Curing, null),
            new() { Piece = "studios/alder/pieces/piece-12", Label = "12", Bench = Bench },
            Piece("13", Rung.Types.State.CheckDue, Now.AddHours(-4)),
        ], new HashSet<string> { "studios/alder/pieces/piece-13" }, Clock));

        Assert.Contains("CURING until Sun 3 May 20:20 (in 5 h 20 min)", text, StringComparison.Ordinal);
        Assert.Contains("CHECK DUE: test by touch first", text, StringComparison.Ordinal);
        Assert.Contains("READY", text, StringComparison.Ordinal);
        Assert.Contains("CURING: will not get there without warmth", text, StringComparison.Ordinal);
        Assert.Contains("forecast under way", text, StringComparison.Ordinal);
        Assert.Contains("DEMOLDED", text, StringComparison.Ordinal);
        Assert.Contains("safety data sheet", text, StringComparison.Ordinal);
        Assert.True(Line(text, "CONTRADICTED") < Line(text, "CHECK DUE"), text);
        Assert.True(Line(text, "CHECK DUE") < Line(text, "CURING until"), text);
    }

    [Theory]
    // 583.8 g on 1390 g are 42 to 100, dead on; 2.5 % more hardener is 43.05, over the 2 % allowed.
    [InlineData(42, 0, "RATIO OK", "on target")]
    [InlineData(42.84, 2, "RATIO OK", "too much hardener")]
    [InlineData(43.05, 2.5, "RATIO OFF", "too much hardener")]
    [InlineData(40.95, -2.5, "RATIO OFF", "too little hardener")]
    public void Mix_SaysItsVerdictByTheTolerance(double parts, double percent, string verdict, string why)
    {
        var mix = new Mix
        {
            Name = "studios/alder/mixes/mix-1",
            Site = North,
            HardenerPartsPer100Resin = parts,
            RatioDeviationPercent = percent,
            RemainingMassMg = 1_970_000,
            PotLifeEndTime = Now.AddMinutes(40).ToTimestamp(),
            Cautions = { new Caution { Reason = "BATCH_TOO_LARGE", Text = "Split it." } },
        };
        var resin = new ResinSystem { HardenerPartsPer100Resin = 42, RatioTolerancePercent = 2, Basis = ResinSystem.Types.Basis.Mass };

        var text = Plain(MixNoun.Card(mix, resin, Clock, "Mix mix-1"));

        Assert.Contains(verdict, text, StringComparison.Ordinal);
        Assert.Contains(why, text, StringComparison.Ordinal);
        Assert.Contains("target 42, allowed ±2 %", text, StringComparison.Ordinal);
        Assert.Contains("1.97 kg", text, StringComparison.Ordinal);
        Assert.Contains("Sun 3 May 15:40 (in 40 min)", text, StringComparison.Ordinal);
        Assert.Contains("CAUTION: Split it.", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Containers_AreListedFirstToExpireFirst()
    {
        var text = Plain(ContainerNoun.Rows(new()
        {
            Containers =
            {
                Can("can-never", null, held: false), Can("can-late", Now.AddDays(30), held: false),
                Can("can-soon", Now.AddDays(2), held: true), Can("can-gone", Now.AddDays(-1), held: false),
            },
        }, Clock));

        int[] order = [Line(text, "can-gone"), Line(text, "can-soon"), Line(text, "can-late"), Line(text, "can-never")];
        Assert.Equal(order.Order(), order);
        Assert.Contains("EXPIRED", text, StringComparison.Ordinal);
        Assert.Contains("HELD", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Calibration_SaysOfEachFigureHowFarItIsOff_AndOfEachParameterWhenceItComes()
    {
        var text = Plain(CalibrationView.Card(new()
        {
            ResinSystem = "studios/alder/resinSystems/deep",
            ModelRevision = "deep-casting-1 fitted to data sheet 3 of deep (2 figures)",
            RateText = "Times of a thin piece may be off by a factor of 1.4 either way (5 to 95 %).",
            RatioCheck = new() { PrintedHardenerPartsPer100Resin = 45, VolumeHardenerPartsPer100Resin = 41.739 },
            Figures =
            {
                // ln(26.4/24) = 0.0953 is 10 %; a peak 2.5 K too cool.
                new Figure { DisplayName = "Gel time of a thin film at 23 °C", Unit = "h", Printed = 24, Modelled = 26.4, ResidualUnit = "ln", Residual = 0.0953 },
                new Figure { DisplayName = "Peak of 40 mm at 20 °C", Unit = "°C", Printed = 43, Modelled = 40.5, ResidualUnit = "K", Residual = -2.5 },
            },
            Parameters =
            {
                new Parameter
                {
                    DisplayName = "k1 at 25 °C", Unit = "1/s", PriorMedian = 6e-6, Fitted = 7.25e-6, SpreadUnit = "ln", PriorSpread = 0.7,
                    PosteriorSpread = 0.25, Knowledge = Knowledge.Learned,
                },
                new Parameter
                {
                    DisplayName = "Final glass transition", Unit = "°C", PriorMedian = 52, Fitted = 51.5, SpreadUnit = "K", PriorSpread = 10,
                    PosteriorSpread = 9.5, Knowledge = Knowledge.StillPrior,
                },
            },
        }));

        Assert.Contains("DIFFERS: printed 100 : 45, by volume and densities 100 : 41.74", text, StringComparison.Ordinal);
        Assert.Matches(@"Gel time of a thin film at 23 °C\s+24 h\s+26.4 h\s+\+10 %", text);
        Assert.Matches(@"Peak of 40 mm at 20 °C\s+43 °C\s+40.5 °C\s+-2.5 K", text);
        Assert.Matches(@"k1 at 25 °C\s+6e-6 1/s\s+7.25e-6 1/s\s+70 % -> 25 %\s+learned", text);
        Assert.Matches(@"Final glass transition\s+52 °C\s+51.5 °C\s+10.0 K -> 9.5 K\s+still prior", text);
    }

    [Fact]
    public void Table_ThroughAPipe_HasNoEscapesAndBreaksNoLine()
    {
        var text = Plain(Sheets.Rows("", ["A", "B"], [[new("\u001b[31mred\u0007", Tone.Bad), new string('x', 300)]]));

        Assert.DoesNotContain('\u001b', text);
        Assert.DoesNotContain('\u0007', text);
        Assert.Contains(new string('x', 300), text, StringComparison.Ordinal);
    }

    private static PieceReadiness Piece(string label, Rung.Types.State state, DateTimeOffset? safe) => new()
    {
        Piece = $"studios/alder/pieces/piece-{label}",
        Label = label,
        Bench = Bench,
        Forecast = $"studios/alder/pieces/piece-{label}/forecasts/1",
        Rungs = { new Rung { Gate = Gate.Demold, State = state, Forecast = new() { SafeTime = safe?.ToTimestamp() } } },
    };

    private static Container Can(string id, DateTimeOffset? expires, bool held) => new()
    {
        Name = $"studios/alder/containers/{id}",
        Site = North,
        State = Container.Types.State.Sealed,
        Held = held,
        ExpireTime = expires?.ToTimestamp(),
    };

    internal static string Plain(IRenderable view)
    {
        var writer = new StringWriter();
        new Output(Output.ConsoleOn(writer), json: false).Show(view);
        return writer.ToString();
    }

    private static int Line(string text, string word) => text.Split('\n').ToList().FindIndex(line => line.Contains(word, StringComparison.Ordinal));
}
