using System.Globalization;

namespace Pourwright.Studio.Storage.Chain;

/// <summary>A table of evidence: each of its rows stands in a chain from the moment it is recorded, and what is listed of it is never changed.</summary>
public sealed class EvidenceTable
{
    /// <summary>A new table of evidence is a line here, and a column added to one stands at the end of its columns.</summary>
    public static readonly IReadOnlyList<EvidenceTable> All =
    [
        new("lots", "new.studio", "name",
            """
            name studio part resin_system supplier supplier_lot_code content expiry_date receive_ms received_mass_mg label_text gtin
            cautions
            """,
            others: "held hold_reason"),
        new("containers", "new.site", "name",
            "name studio part resin_system received_mass_mg",
            others: "site state held hold_reason remaining_mass_mg open_ms expire_ms"),
        new("container_events", "(SELECT site FROM containers WHERE name = new.container)", "sequence",
            "sequence container kind mass_mg lot other_container mix site reason event_ms correction corrects place"),
        new("mixes", "new.site", "name",
            """
            name studio site resin_system mix_ms mixer scale temperature_celsius deviation_reason a_mass_mg b_mass_mg pigment_mass_mg
            hardener_parts_per_100_resin ratio_deviation_percent pot_life_end_ms cautions record_ms
            """),
        new("mix_discards", "(SELECT site FROM mixes WHERE name = new.mix)", "sequence", "sequence mix mass_mg discard_ms"),
        new("pieces", "new.site", "name",
            "name studio site label maker casting_class mould wood_species wood_moisture_percent channel_width_mm",
            others: "planned_session_ms state bench", sealedColumns: "maker"),
        new("pours", SiteOfPiece, "name",
            """
            name piece mix bench mass_mg depth_mm pour_ms resin_temperature_celsius surface_temperature_celsius pourer deviation_reason
            layer_count cautions record_ms
            """),
        new("corrections", "new.site", "sequence",
            """
            sequence site subject kind person reason correct_ms changes right_pour a_mass_mg b_mass_mg pigment_mass_mg
            hardener_parts_per_100_resin ratio_deviation_percent cautions
            """),
        new("checks", SiteOfPiece, "name",
            "name piece check_ms checker touch shore_d shore_d_below_scale surface_temperature_celsius thickness_mm note record_ms confirms"),
        new("steps", SiteOfPiece, "name", "name piece kind step_ms worker bench note cautions record_ms"),
        new("readings", "(SELECT site FROM sensors WHERE name = new.sensor)", "sensor",
            "sensor reading_ms temperature_celsius relative_humidity_percent surface_temperature_celsius",
            series: "reading_ms"),
        new("forecasts", SiteOfPiece, "piece revision",
            """
            piece revision forecast_ms cause model_revision pour_ms gel_earliest_ms gel_likely_ms gel_safe_ms demold_earliest_ms
            demold_likely_ms demold_safe_ms handle_earliest_ms handle_likely_ms handle_safe_ms peak_low_celsius peak_likely_celsius
            peak_high_celsius peak_likely_offset_ms runaway_margin_ratio last_reading_ms gap_ms room_assumption cautions course
            sand_earliest_ms sand_likely_ms sand_safe_ms ladder reason advice observation_count statements
            """),
        new("defects", SiteOfPiece, "name", "name studio piece kind find_ms finder note photo_uris"),
        new("piece_holds", SiteOfPiece, "sequence", "sequence piece kind cause reason person event_ms"),
        new("stock_holds",
            "coalesce((SELECT site FROM containers WHERE name = new.subject), (SELECT studio FROM lots WHERE name = new.subject))", "sequence",
            "sequence subject kind cause reason person event_ms"),
        new("recalls", "new.studio", "name",
            """
            name studio drill scope scope_date reason starter start_ms list_ms hold_ms piece_count handed_over_count stock_mass_mg
            person_count reachable_count found
            """, sealedColumns: "found"),
        new("recall_notices", "new.site", "name",
            "name recall position role person recipient email obstacle site pieces",
            others: "chase_count chase_due_ms hand_over_ms", sealedColumns: "person recipient email"),
        new("recall_answers", "(SELECT site FROM recall_notices WHERE name = new.notice)", "sequence", "sequence notice answer person note answer_ms"),
        new("recall_closes", "(SELECT studio FROM recalls WHERE name = new.recall)", "recall", "recall outcome gaps closer released close_ms"),
        new("erasures", "new.studio", "sequence", "sequence studio person record_table record_key record_column replacement_sha256 erase_ms"),
        new("session_closings", "(SELECT site FROM sessions WHERE name = new.session)", "session", "session closer close_ms"),
        new("audit_entries", "new.studio", "sequence",
            "sequence studio entry_ms access_key role method outcome reason names request_id address call_count",
            sealedColumns: "names access_key"),
    ];

    private const string SiteOfPiece = "(SELECT site FROM pieces WHERE name = new.piece)";

    private const char KeySeparator = '@';

    /// <param name="chain">SQL of the chain that the row `new` belongs to: its site, or its studio where it is of no one site.</param>
    /// <param name="key">The columns that name a row; they begin <paramref name="columns"/>.</param>
    /// <param name="columns">What was recorded. Earlier links cover as many of them as there were: append, and change no other.</param>
    /// <param name="others">Columns that change, or are no evidence.</param>
    /// <param name="series">A whole-number column, after the key, by which many rows are recorded at once: those of one write share a link.</param>
    /// <param name="sealedColumns">Those of <paramref name="columns"/> that may have to be forgotten; beside them stand their seals and one salt.</param>
    private EvidenceTable(string name, string chain, string key, string columns, string others = "", string? series = null, string sealedColumns = "")
    {
        (Name, Chain, Key, Columns, Series, ColumnsByName, Sealed) = (name, chain, Words(key), Words(columns), series, ByName(Words(columns)), Words(sealedColumns));
        Others = [.. Words(others), .. Sealed.Select(SealOf), .. Sealed.Take(1).Select(_ => "seal_salt")];
    }

    public string Name { get; }

    public string Chain { get; }

    public IReadOnlyList<string> Key { get; }

    public IReadOnlyList<string> Columns { get; }

    /// <summary>Indices of the columns in the order of their names.</summary>
    public IReadOnlyList<int> ColumnsByName { get; }

    public IReadOnlyList<string> Others { get; }

    public string? Series { get; }

    /// <summary>Columns whose seal the chain covers, in a row that has one, instead of their text. See <see cref="SealedText"/>.</summary>
    public IReadOnlyList<string> Sealed { get; }

    /// <summary>SQL of what the chain covers of a column.</summary>
    /// <param name="row">What stands before the column's name: `new.`, or nothing.</param>
    public string Covered(string column, string row) => Sealed.Contains(column) ? $"coalesce({row}{SealOf(column)}, {row}{column})" : row + column;

    /// <summary>Columns whose change is refused: of a sealed text its seal, so that the text may be forgotten.</summary>
    public IEnumerable<string> Kept => Columns.Select(column => Sealed.Contains(column) ? SealOf(column) : column);

    private static string SealOf(string column) => $"{column}_seal";

    public static EvidenceTable? Find(string name) => All.FirstOrDefault(table => table.Name == name);

    /// <summary>The key of a row as a link names it; without the series.</summary>
    public string KeyOf(object?[] row) => Key.Count == 1 && row[0] is string name ? name : string.Join(KeySeparator, row.Take(Key.Count).Select(value => Convert.ToString(value, CultureInfo.InvariantCulture)));

    /// <summary>What links name: the key, and of a series the instants.</summary>
    public string NameOf(IReadOnlyList<object?[]> rows) =>
        Series is null ? KeyOf(rows[0]) : KeyOf(rows[0]) + KeySeparator + SeriesRuns.Write([.. rows.Select(SeriesOf)]);

    /// <summary>The series value of a row.</summary>
    public long SeriesOf(object?[] row) => Convert.ToInt64(row[Key.Count], CultureInfo.InvariantCulture);

    /// <summary>The row or rows that a link names, with the first <paramref name="columnCount"/> columns; fewer where some are gone.</summary>
    /// <exception cref="FormatException">The name is none of this table.</exception>
    internal IReadOnlyList<object?[]> Load(StudioSession session, string name, int columnCount)
    {
        var parts = name.Split(KeySeparator);
        if (parts.Length != Key.Count + (Series is null ? 0 : 1)) throw new FormatException($"\"{name}\" names no row of {Name}.");
        var sql = $"SELECT {string.Join(", ", Columns.Take(columnCount).Select(column => Covered(column, "")))} FROM {Name} WHERE {KeyIs} ";
        var (key1, key2) = (KeyValue(0, parts), KeyValue(1, parts));
        if (Series is null) return [.. session.Stream(sql, new { key1, key2 })];
        var wanted = SeriesRuns.Read(parts[^1]);
        var among = wanted.ToHashSet();
        return [.. session.Stream($"{sql} AND {Series} BETWEEN @first AND @last ORDER BY {Series}", new { key1, key2, first = wanted[0], last = wanted[^1] })
            .Where(row => row[Key.Count] is long at && among.Contains(at))];
    }

    /// <summary>Every row, by its key: with its chain, null where none is found, before the columns.</summary>
    internal IEnumerable<object?[]> LoadAll(StudioSession session, IEnumerable<string> columns) => session.Stream(
        $"SELECT {Chain}, {string.Join(", ", columns.Select(column => Covered(column, "new.")))} FROM {Name} AS new ORDER BY {string.Join(", ", SortColumns.Select(column => $"new.{column}"))}");

    /// <summary>The key, then the series.</summary>
    public IEnumerable<string> SortColumns => Series is null ? Key : [.. Key, Series];

    /// <summary>As its column holds it. A number that is none finds nothing.</summary>
    private object? KeyValue(int index, string[] parts) =>
        index >= Key.Count ? null
        : Key[index] is not ("sequence" or "revision") ? parts[index]
        : long.TryParse(parts[index], NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number) ? number : null;

    private string KeyIs => string.Join(" AND ", Key.Select((column, index) => $"{column} = @key{index + 1}"));

    private static int[] ByName(string[] columns) =>
        [.. Enumerable.Range(0, columns.Length).OrderBy(column => columns[column], StringComparer.Ordinal)];

    private static string[] Words(string text) => text.Split([' ', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries);
}
