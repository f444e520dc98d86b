using Pourwright.Studio.Climate;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using Role = Pourwright.V1.Contact.Types.Role;
using State = Pourwright.V1.Reminder.Types.State;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>Sensors, climate and containers. The sensor reports every hour, so that more than three hours are silence.</summary>
public sealed class ConditionTests : IAsyncLifetime
{
    private const string Sensor = ReminderDesk.Site + "/sensors/logger";
    private static readonly DateTimeOffset Nine = ReminderDesk.Start;

    private ReminderDesk _desk = null!;

    public async Task InitializeAsync()
    {
        _desk = await ReminderDesk.StartAsync();
        await AddSensorAsync("logger", ReminderDesk.Bench);
    }

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task SilentSensors_OnceASilence_AndOnceAgainAfterRecovery()
    {
        await _desk.AddPieceAsync("walnut-7");
        await ReadAsync(Nine);

        await _desk.SweepAtAsync<SilentSensors>(Nine.AddHours(3));
        Assert.Empty(_desk.Reminders());

        await _desk.SweepAtAsync<SilentSensors>(Nine.AddHours(3).AddMilliseconds(1));
        await _desk.SweepAtAsync<SilentSensors>(Nine.AddHours(4));
        var silent = Assert.Single(_desk.Reminders());
        Assert.Equal((Kind.SensorSilent, Role.Assistant, Sensor), (silent.Kind, silent.RecipientRole, silent.Subject));
        Assert.StartsWith("Sensor logger at North: no reading since Fri 6 Feb 09:00 (UTC+00:00), and pieces cure there.", silent.Text, StringComparison.Ordinal);

        await _desk.SweepAsync<DueReminders>();
        await ReadAsync(Nine.AddHours(5));
        await _desk.SweepAtAsync<SilentSensors>(Nine.AddHours(5));
        Assert.Equal([State.Withdrawn], _desk.StatesOf(Kind.SensorSilent));
        Assert.Contains("last reading at Fri 6 Feb 14:00", _desk.Single(Kind.Withdrawn).Text, StringComparison.Ordinal);

        await _desk.SweepAtAsync<SilentSensors>(Nine.AddHours(8).AddMilliseconds(1));
        Assert.Equal([State.Withdrawn, State.Pending], _desk.StatesOf(Kind.SensorSilent));
    }

    [Fact]
    public async Task SilentSensors_NeverReported_CountsFromTheFirstPour()
    {
        await _desk.AddPieceAsync("walnut-7", pouredHoursAgo: 1);

        await _desk.SweepAtAsync<SilentSensors>(Nine.AddHours(2));
        Assert.Empty(_desk.Reminders());
        await _desk.SweepAtAsync<SilentSensors>(Nine.AddHours(2).AddMilliseconds(1));

        Assert.Contains("no reading yet", _desk.Single(Kind.SensorSilent).Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task SilentSensors_NothingCures_SaysNothingAndTakesBackWhatWaits()
    {
        await ReadAsync(Nine);
        await _desk.SweepAtAsync<SilentSensors>(Nine.AddDays(1));
        Assert.Empty(_desk.Reminders());

        var piece = await _desk.AddPieceAsync("walnut-7");
        await _desk.SweepAsync<SilentSensors>();
        await _desk.SetPieceStateAsync(piece, Piece.Types.State.Demolded);
        await _desk.SweepAsync<SilentSensors>();

        Assert.Equal([State.Withdrawn], _desk.Reminders().Select(r => r.State));
    }

    [Fact]
    public async Task SilentSensors_RoomSensor_IsMissedOnlyWhereABenchHasNoneOfItsOwn()
    {
        await AddSensorAsync("room", bench: null);
        await _desk.AddPieceAsync("walnut-7", pouredHoursAgo: 5);
        await ReadAsync(Nine);

        await _desk.SweepAsync<SilentSensors>();
        Assert.Empty(_desk.Reminders());

        await _desk.Harness.Writer.WriteAsync(tx =>
        {
            tx.Execute("INSERT INTO benches (name, site, display_name, board_thickness_mm) VALUES (@bench, @Site, 'Floor', 0)", new { bench = $"{ReminderDesk.Site}/benches/floor", ReminderDesk.Site });
            tx.Execute("UPDATE pieces SET bench = @bench", new { bench = $"{ReminderDesk.Site}/benches/floor" });
        });
        await _desk.SweepAsync<SilentSensors>();

        Assert.Equal($"{ReminderDesk.Site}/sensors/room", _desk.Single(Kind.SensorSilent).Subject);
    }

    /// <summary>
    /// Air at 20 °C with 60 % has its dew point at 12.0 °C: g = ln 0.6 + 17.62·20/263.12 = −0.5108 + 1.3393 = 0.8285,
    /// 243.12·0.8285/(17.62 − 0.8285) = 12.00 (Magnus form, coefficients of WMO No. 8). The margin is 3 °C, the hysteresis 1 °C.
    /// </summary>
    [Theory]
    [InlineData(14.9, EpisodeState.On)] // 2.9 above the dew point
    [InlineData(15.5, EpisodeState.InDoubt)] // 3.5: neither
    [InlineData(16.1, EpisodeState.Off)] // 4.1
    [InlineData(null, EpisodeState.Off)] // not measured: the air, 8.0 above
    public void ClimateWarnings_BySurface_AreOnBelowTheMarginAndOffAboveTheHysteresis(double? surface, EpisodeState state) =>
        Assert.Equal(state, ClimateWarnings.Judge([Watched(surface, 60)], new(), Nine.ToUnixMs()).State);

    [Fact]
    public void ClimateWarnings_OfTwoSensors_GoByTheDamperOne() => Assert.Equal(
        EpisodeState.On, ClimateWarnings.Judge([Watched(16.1, 60), Watched(14.9, 60)], new(), Nine.ToUnixMs()).State);

    [Fact]
    public void ClimateWarnings_WithoutHumidityOrWithAnOldReading_AreInDoubt()
    {
        Assert.Equal(EpisodeState.InDoubt, ClimateWarnings.Judge([Watched(5, humidity: null)], new(), Nine.ToUnixMs()).State);
        Assert.Equal(EpisodeState.InDoubt, ClimateWarnings.Judge([Watched(5, 60)], new(), Nine.AddHours(3).AddMilliseconds(1).ToUnixMs()).State);
    }

    [Fact]
    public async Task ClimateWarnings_OverADampEvening_WarnOnceAnEpisode()
    {
        await _desk.AddPieceAsync("walnut-7");
        // Surface over the day, at 20 °C and 60 %: damp at 9, wavering between the marks until 12, dry at 13, damp again at 14.
        double[] surfaces = [14.9, 15.5, 14.0, 15.9, 16.1, 14.9];
        for (var hour = 0; hour < surfaces.Length; hour++)
        {
            await ReadAsync(Nine.AddHours(hour), 60, surfaces[hour]);
            await _desk.SweepAtAsync<ClimateWarnings>(Nine.AddHours(hour));
            await _desk.SweepAsync<DueReminders>();
        }

        Assert.Equal([State.Withdrawn, State.Sent], _desk.StatesOf(Kind.ClimateWarning));
        Assert.Equal([State.Sent], _desk.StatesOf(Kind.Withdrawn));
        Assert.StartsWith(
            "Bench Shelf at North: surface 14.9 °C, dew point 12.0 °C, less than 3 °C apart, and pieces cure there.",
            _desk.Reminders()[0].Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(14.0, 1000, Container.Types.State.Open, true)]
    [InlineData(14.1, 1000, Container.Types.State.Open, false)]
    [InlineData(-3.0, 1000, Container.Types.State.Sealed, true)] // expired already
    [InlineData(3.0, 0, Container.Types.State.Open, false)] // nothing left
    [InlineData(3.0, 1000, Container.Types.State.Spent, false)]
    public async Task LotsNearExpiry_ByDaysAndMassLeft_TellTheOwner(double days, long massMg, Container.Types.State state, bool told)
    {
        await AddContainerAsync(Nine.AddDays(days), massMg, state);

        await _desk.SweepAsync<LotsNearExpiry>();

        Assert.Equal(told ? [(Kind.LotExpiring, Role.Owner)] : [], _desk.Reminders().Select(r => (r.Kind, r.RecipientRole)));
    }

    [Fact]
    public async Task LotsNearExpiry_SweptDaily_TellOnceAndNotAnEmptiedOne()
    {
        await AddContainerAsync(Nine.AddDays(10), 1_500_000, Container.Types.State.Open);
        await _desk.SweepAsync<LotsNearExpiry>();
        await _desk.SweepAtAsync<LotsNearExpiry>(Nine.AddDays(1));
        var reminder = Assert.Single(_desk.Reminders());
        Assert.Equal("Container deep-a1 (part A, 1.5 kg left) expires on Mon 16 Feb 2026. Use it first, or take it out of use in time.", reminder.Text);

        await _desk.Harness.Writer.WriteAsync(tx => tx.Execute("UPDATE containers SET state = 3, remaining_mass_mg = 0"));
        await _desk.SweepAsync<DueReminders>();

        Assert.Equal(State.Withdrawn, _desk.Single(Kind.LotExpiring).State);
    }

    private Task<int> AddSensorAsync(string id, string? bench) => _desk.Harness.Writer.WriteAsync(tx => tx.ExecuteCounted(
        "INSERT INTO sensors (name, site, display_name, bench, report_interval_ms) VALUES (@name, @Site, @id, @bench, 3600000)",
        new { name = $"{ReminderDesk.Site}/sensors/{id}", ReminderDesk.Site, id, bench }));

    private Task ReadAsync(DateTimeOffset at, double? humidity = null, double? surface = null) => _desk.Harness.Writer.WriteAsync(tx =>
    {
        ClimateStore.TryInsert(tx, Reading(at, surface, humidity));
        ClimateStore.RaiseLastReading(tx, Sensor, at.ToUnixMs());
    });

    private Task<int> AddContainerAsync(DateTimeOffset expiry, long massMg, Container.Types.State state) => _desk.Harness.Writer.WriteAsync(tx => tx.ExecuteCounted(
        """
        INSERT INTO containers (name, studio, site, part, state, received_mass_mg, remaining_mass_mg, expire_ms)
        VALUES (@Studio || '/containers/deep-a1', @Studio, @Site, 1, @state, 2000000, @massMg, @expiry)
        """, new { ReminderDesk.Studio, ReminderDesk.Site, state = (int)state, massMg, expiry = expiry.ToUnixMs() }));

    private static WatchedBench Watched(double? surface, double? humidity) =>
        new(ReminderDesk.Bench, ReminderDesk.Site, ReminderDesk.Studio, "Shelf", DewPointMarginCelsius: 3)
        {
            ReportIntervalMs = 3_600_000,
            Reading = Reading(Nine, surface, humidity),
        };

    private static ReadingRecord Reading(DateTimeOffset at, double? surface, double? humidity) => new()
    {
        Sensor = Sensor,
        ReadingMs = at.ToUnixMs(),
        TemperatureCelsius = 20,
        RelativeHumidityPercent = humidity,
        SurfaceTemperatureCelsius = surface,
    };
}
