using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Defect.Types.Kind;
using StepKind = Pourwright.V1.Step.Types.Kind;

namespace Pourwright.Studio.Tests.Suspects;

/// <summary>One piece to write down: poured once from a mix of its own.</summary>
/// <param name="Id">Of the piece and of its mix.</param>
/// <param name="PourHour">After the start of the story.</param>
/// <param name="B">Container of part B; its lot has the same id with "-lot".</param>
internal sealed record Seeded(string Id, double PourHour, string B = "good-b", string A = "some-a")
{
    public string Site { get; init; } = "north";
    public string Mixer { get; init; } = "Ana";
    public string Scale { get; init; } = "";
    public string Class { get; init; } = "";
    public double RatioPercent { get; init; }

    /// <summary>Null for a piece still in its mould.</summary>
    public double? DemoldAfterHours { get; init; } = 72;

    /// <summary>Found at demold, or a day after the pour.</summary>
    public Kind? Defect { get; init; }
}

/// <summary>A studio whose pieces are written straight into its file: thousands in a second, without their forecasts.</summary>
internal sealed class SeededStudio : IAsyncDisposable
{
    public static readonly DateTimeOffset Start = StudioHarness.Start;

    private readonly HashSet<string> _containers = [];

    private SeededStudio(StudioHarness harness) => (Harness, Suspects) = (harness, new(harness.Channel));

    public StudioHarness Harness { get; }

    public V1.SuspectService.SuspectServiceClient Suspects { get; }

    public static async Task<SeededStudio> StartAsync()
    {
        var harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(harness);
        await SampleTeaching.CreateAsync(harness.Channel);
        return new(harness);
    }

    public ValueTask DisposeAsync() => Harness.DisposeAsync();

    public static string PieceNamed(string id) => $"{SampleStudio.Name}/pieces/{id}";

    public static long Ms(double hour) => Start.AddHours(hour).ToUnixMs();

    /// <summary>Classes with who teaches their pour.</summary>
    public Task TeachAsync(params (string Class, string Instructor)[] classes) => Harness.Writer.WriteAsync(tx =>
    {
        foreach (var (id, instructor) in classes)
        {
            var name = $"{SampleStudio.Name}/classes/{id}";
            tx.Execute(
                """
                INSERT INTO classes (name, studio, display_name, offering, seats, pieces, first_date, last_date, weekdays, state, etag)
                VALUES (@name, @Studio, @id, @Tray, 8, 8, '2026-02-06', '2026-03-06', 127, 2, 'e')
                """, new { name, Studio = SampleStudio.Name, id, SampleTeaching.Tray });
            tx.Execute(
                """
                INSERT INTO sessions (name, class, kind, site, start_ms, end_ms, local_date, local_start_minute, time_zone, tzdb_version, instructor, state, sequence, change_reason)
                VALUES (@name || '/sessions/pour', @name, 1, @North, 1, 2, '2026-02-06', 540, 'Europe/Lisbon', '2025b', @instructor, 1, 0, '')
                """, new { name, SampleStudio.North, instructor });
        }
        return 0;
    }, default);

    /// <summary>A reading an hour of the logger of a site.</summary>
    public Task ReadAsync(string site, int hours, Func<double, double> celsius, double humidityPercent = 50) => Harness.Writer.WriteAsync(tx => tx.Execute(
        """
        INSERT INTO readings (sensor, reading_ms, temperature_celsius, relative_humidity_percent) VALUES (@sensor, @ms, @celsius, @humidityPercent)
        """,
        Enumerable.Range(0, hours + 1).Select(hour => new
        {
            sensor = $"{SampleStudio.Name}/sites/{site}/sensors/shelf-logger", ms = Ms(hour), celsius = celsius(hour), humidityPercent,
        })), default);

    public Task SaveAsync(IEnumerable<Seeded> pieces) => Harness.Writer.WriteAsync(tx =>
    {
        foreach (var piece in pieces) Save(tx, piece);
        return 0;
    }, default);

    private void Save(StudioTransaction tx, Seeded p)
    {
        Receive(tx, p.A, Part.A);
        Receive(tx, p.B, Part.B);
        var row = new
        {
            piece = PieceNamed(p.Id), studio = SampleStudio.Name, site = $"{SampleStudio.Name}/sites/{p.Site}", p.Id, mix = $"{SampleStudio.Name}/mixes/{p.Id}",
            bench = $"{SampleStudio.Name}/sites/{p.Site}/benches/shelf", SampleStudio.Deep, p.Mixer, p.Scale, p.RatioPercent,
            castingClass = p.Class.Length > 0 ? $"{SampleStudio.Name}/classes/{p.Class}" : "", pourMs = Ms(p.PourHour),
            state = (int)(p.DemoldAfterHours is null ? Piece.Types.State.Curing : Piece.Types.State.Demolded),
            a = Container(p.A), b = Container(p.B), demoldMs = Ms(p.PourHour + p.DemoldAfterHours ?? 0), demold = (int)StepKind.Demold,
            defect = $"{SampleStudio.Name}/defects/{p.Id}", kind = (int)(p.Defect ?? 0), findMs = Ms(p.PourHour + (p.DemoldAfterHours ?? 24)),
        };
        tx.Execute(
            """
            INSERT INTO mixes (name, studio, site, resin_system, mix_ms, mixer, scale, deviation_reason, a_mass_mg, b_mass_mg, pigment_mass_mg,
                               hardener_parts_per_100_resin, ratio_deviation_percent, cautions, record_ms)
            VALUES (@mix, @studio, @site, @Deep, @pourMs, @Mixer, @Scale, '', 100000, 42000, 0, 42, @RatioPercent, '[]', @pourMs)
            """, row);
        foreach (var container in (string[])[row.a, row.b])
            tx.Execute("INSERT INTO container_events (container, kind, mass_mg, mix, event_ms) VALUES (@container, 'mixed', -1000, @mix, 0)", new { container, row.mix });
        tx.Execute(
            """
            INSERT INTO pieces (name, studio, site, label, maker, casting_class, mould, wood_species, state, bench)
            VALUES (@piece, @studio, @site, @Id, '', @castingClass, '', '', @state, @bench)
            """, row);
        tx.Execute(
            """
            INSERT INTO pours (name, piece, mix, bench, mass_mg, depth_mm, pour_ms, resin_temperature_celsius, pourer, deviation_reason, layer_count, cautions, record_ms)
            VALUES (@piece || '/pours/p-1', @piece, @mix, @bench, 142000, 30, @pourMs, 21, @Mixer, '', 1, '[]', @pourMs)
            """, row);
        if (p.DemoldAfterHours is not null)
            tx.Execute(
                """
                INSERT INTO steps (name, piece, kind, step_ms, worker, note, cautions, record_ms)
                VALUES (@piece || '/steps/s-1', @piece, @demold, @demoldMs, 'Ana', '', '[]', @demoldMs)
                """, row);
        if (p.Defect is not null)
            tx.Execute(
                """
                INSERT INTO defects (name, studio, piece, kind, find_ms, finder, note, photo_uris)
                VALUES (@defect, @studio, @piece, @kind, @findMs, 'Ana', '', '[]')
                """, row);
    }

    private void Receive(StudioTransaction tx, string container, Part part)
    {
        if (!_containers.Add(container)) return;
        var row = new { lot = $"{SampleStudio.Name}/lots/{container}-lot", container = Container(container), studio = SampleStudio.Name, SampleStudio.North, part = (int)part, SampleStudio.Deep };
        tx.Execute(
            """
            INSERT INTO lots (name, studio, part, resin_system, supplier, supplier_lot_code, content, receive_ms, received_mass_mg)
            VALUES (@lot, @studio, @part, @Deep, 'Harbour Supplies', @lot, '', 0, 90000000)
            """, row);
        tx.Execute(
            """
            INSERT INTO containers (name, studio, site, part, resin_system, state, received_mass_mg, remaining_mass_mg)
            VALUES (@container, @studio, @North, @part, @Deep, 2, 90000000, 80000000)
            """, row);
        tx.Execute("INSERT INTO container_events (container, kind, mass_mg, lot, event_ms) VALUES (@container, 'received', 90000000, @lot, 0)", row);
    }

    private static string Container(string id) => $"{SampleStudio.Name}/containers/{id}";
}
