using System.Data.Common;
using System.Globalization;
using Microsoft.Data.Sqlite;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Benchmarks;

/// <summary>Records of an invented chain, written straight into a file: years of mixes in a minute.</summary>
/// <remarks>
/// Lots come in drums; every drum is decanted into cans, cans into jugs, and now and then what is left of one is topped up into
/// the next, up to six deep. A mix draws on one can or jug of A and one of B, and goes into one piece, every fourth time two. Masses
/// are far too small, so that a tenth of a tenth lasts.
/// </remarks>
internal sealed class InventedRecords : IDisposable
{
    public const string Studio = "studios/driftline";

    /// <summary>Id of the pair that went into ten thousand pieces; those of the others are numbers from 001 on, for five thousand each.</summary>
    public const string LargeLot = "large";

    private const int MixesALot = 4000, MixesOfLargeLot = 8000, CansALot = 50;

    private const long DrumMg = 10_000_000_000, DrawnAMg = 100, DrawnBMg = 45, PouredMg = 70;

    private readonly SqliteConnection connection;
    private readonly Dictionary<string, DbCommand> commands = [];
    private readonly Dictionary<string, long> left = [];
    private readonly Random random;
    private long now = DateTimeOffset.Parse("2020-01-06T08:00:00Z", CultureInfo.InvariantCulture).ToUnixTimeMilliseconds();
    private int pieces;

    private InventedRecords(SqliteConnection connection, int seed) => (this.connection, random) = (connection, new(seed));

    /// <summary>Fills a new file with so many mixes; gives the number of pieces.</summary>
    public static int Write(string path, int mixes, int seed = 1)
    {
        var store = new SqliteStore(path);
        store.Migrate();
        using var records = new InventedRecords(store.OpenWriter(), seed);
        records.Run("PRAGMA synchronous = OFF; PRAGMA foreign_keys = OFF; BEGIN");
        records.Places();
        records.PairOfLots(0, LargeLot, Math.Min(MixesOfLargeLot, mixes));
        for (int first = MixesOfLargeLot, lot = 1; first < mixes; first += MixesALot, lot++) records.PairOfLots(first, $"{lot:000}", Math.Min(MixesALot, mixes - first));
        records.Run("COMMIT; PRAGMA wal_checkpoint(TRUNCATE)");
        return records.pieces;
    }

    public void Dispose()
    {
        foreach (var command in commands.Values) command.Dispose();
        connection.Dispose();
    }

    private void Places()
    {
        Insert("studios", ("name", Studio), ("display_name", "Driftline"));
        for (var site = 0; site < 3; site++)
        {
            Insert("sites", ("name", Site(site)), ("studio", Studio), ("display_name", $"Site {site}"), ("time_zone", "UTC"), ("quiet_start_minute", 0),
                ("quiet_end_minute", 0), ("reminder_swing_ms", 0), ("dew_point_margin_celsius", 3.0), ("etag", "e"));
            Insert("benches", ("name", Bench(site)), ("site", Site(site)), ("display_name", "Shelf"), ("board_thickness_mm", 18.0));
        }
        Insert("resin_systems", ("name", $"{Studio}/resinSystems/deep"), ("studio", Studio), ("display_name", "Deep"), ("basis", 1),
            ("hardener_parts_per_100_resin", 45.0), ("ratio_tolerance_percent", 5.0), ("cure_class", 1), ("depth_limit_action", 1), ("batch_limit_action", 1),
            ("min_cure_temperature_celsius", 15.0), ("data_sheet", "{}"));
    }

    private void PairOfLots(int first, string id, int mixes)
    {
        var (a, b) = (Cans($"a-{id}", 1), Cans($"b-{id}", 2));
        for (var i = 0; i < mixes; i++) Mix(first + i, a, b);
    }

    private string[] Cans(string id, int part)
    {
        var lot = $"{Studio}/lots/{id}";
        Insert("lots", ("name", lot), ("studio", Studio), ("part", part), ("resin_system", $"{Studio}/resinSystems/deep"), ("supplier", ""),
            ("supplier_lot_code", id), ("content", ""), ("receive_ms", now), ("received_mass_mg", DrumMg));
        List<(string Name, int Deep)> open = [(Container($"{id}-drum", part), 1)];
        Happened(open[0].Name, "received", DrumMg, lot: lot);
        left[open[0].Name] = DrumMg;
        while (open.Count <= CansALot)
        {
            var from = open[random.Next(open.Count)];
            if (from.Deep == 6) continue;
            open.Add((Container($"{id}-{open.Count:00}", part), from.Deep + 1));
            Move(from.Name, open[^1].Name);
        }
        TopUps(open, lot);
        return [.. open.Select(can => can.Name)];
    }

    // What is left of a can goes into another of the same lot: the walk must end although both were filled from each other.
    private void TopUps(List<(string Name, int Deep)> open, string lot)
    {
        for (var i = 0; i < CansALot / 10; i++)
        {
            var (from, into) = (open[random.Next(open.Count)].Name, open[random.Next(open.Count)].Name);
            if (from != into) Move(from, into);
        }
    }

    private void Move(string from, string into)
    {
        var massMg = left[from] / 10;
        (left[from], left[into]) = (left[from] - massMg, left.GetValueOrDefault(into) + massMg);
        Happened(from, "decanted", -massMg, other: into);
        Happened(into, "filled", massMg, other: from);
    }

    private void Mix(int number, string[] a, string[] b)
    {
        now += 60_000;
        var (name, site) = ($"{Studio}/mixes/m-{number:0000000}", number % 3);
        Insert("mixes", ("name", name), ("studio", Studio), ("site", Site(site)), ("resin_system", $"{Studio}/resinSystems/deep"), ("mix_ms", now),
            ("mixer", $"p{number % 40}"), ("scale", "scale 1"), ("deviation_reason", ""), ("a_mass_mg", DrawnAMg), ("b_mass_mg", DrawnBMg), ("pigment_mass_mg", 0),
            ("hardener_parts_per_100_resin", 45.0), ("ratio_deviation_percent", 0.0), ("cautions", "[]"), ("record_ms", now));
        Happened(a[random.Next(a.Length)], "mixed", -DrawnAMg, mix: name);
        Happened(b[random.Next(b.Length)], "mixed", -DrawnBMg, mix: name);
        Pour(name, site);
        if (number % 4 == 3) Pour(name, site);
    }

    private void Pour(string mix, int site)
    {
        var piece = $"{Studio}/pieces/pc-{pieces++:0000000}";
        Insert("pieces", ("name", piece), ("studio", Studio), ("site", Site(site)), ("label", $"{pieces}"), ("maker", $"maker {pieces % 5000}"), ("casting_class", ""),
            ("mould", ""), ("wood_species", ""), ("state", 4));
        Insert("pours", ("name", $"{piece}/pours/one"), ("piece", piece), ("mix", mix), ("bench", Bench(site)), ("mass_mg", PouredMg), ("depth_mm", 30.0),
            ("pour_ms", now), ("pourer", ""), ("deviation_reason", ""), ("layer_count", 1), ("cautions", "[]"), ("record_ms", now));
    }

    private string Container(string id, int part)
    {
        var name = $"{Studio}/containers/{id}";
        Insert("containers", ("name", name), ("studio", Studio), ("site", Site(0)), ("part", part), ("resin_system", $"{Studio}/resinSystems/deep"), ("state", 2),
            ("received_mass_mg", DrumMg), ("remaining_mass_mg", 1_000_000));
        return name;
    }

    private void Happened(string container, string kind, long massMg, string? lot = null, string? other = null, string? mix = null) => Insert(
        "container_events", ("container", container), ("kind", kind), ("mass_mg", massMg), ("lot", lot), ("other_container", other), ("mix", mix), ("event_ms", now));

    private void Insert(string table, params ReadOnlySpan<(string Column, object? Value)> values)
    {
        var key = $"{table} {values.Length}";
        if (!commands.TryGetValue(key, out var command)) commands[key] = command = Prepare(table, values);
        for (var i = 0; i < values.Length; i++) command.Parameters[i].Value = values[i].Value ?? DBNull.Value;
        command.ExecuteNonQuery();
    }

    private SqliteCommand Prepare(string table, ReadOnlySpan<(string Column, object? Value)> values)
    {
        var columns = values.ToArray().Select(v => v.Column).ToArray();
        var command = connection.CreateCommand();
        command.CommandText = $"INSERT INTO {table} ({string.Join(", ", columns)}) VALUES ({string.Join(", ", columns.Select(c => "@" + c))})";
        foreach (var column in columns) command.Parameters.Add(new("@" + column, null));
        return command;
    }

    private void Run(string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }

    private static string Site(int number) => $"{Studio}/sites/site-{number}";

    private static string Bench(int site) => $"{Site(site)}/benches/shelf";
}
