using System.Text.RegularExpressions;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Studio.Tests.Storage;

/// <summary>Tables, columns, keys, references, checks' count and indexes of a store as sorted lines, in the words of neither engine.</summary>
internal static partial class StoreSchema
{
    public static IReadOnlyList<string> Of(StudioStore store)
    {
        using var reads = new StudioReads(store);
        return [.. reads.Read<IReadOnlyList<string>>(session => store is SqliteStore ? OfFile(session) : OfServer(session))
            .Where(line => !line.StartsWith("schemaversions", StringComparison.OrdinalIgnoreCase)).Order(StringComparer.Ordinal)];
    }

    // hidden: 0 for a plain column. A column of a primary key counts as required: SQLite alone would take a null there.
    private static IReadOnlyList<string> OfFile(StudioSession session) =>
    [
        .. session.Query<string>(
            """
            SELECT t.name || '.' || c.name || ' ' || c.type || CASE WHEN c."notnull" = 1 OR c.pk > 0 THEN ' required' ELSE '' END
                   || CASE WHEN c.dflt_value IS NULL THEN '' ELSE ' default ' || c.dflt_value END
                   || CASE WHEN c.pk > 0 THEN ' key ' || c.pk ELSE '' END
              FROM sqlite_schema t JOIN pragma_table_xinfo(t.name) c WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%'
            """),
        .. session.Query<string>(
            """
            SELECT t.name || ' refers by ' || group_concat(f."from", ', ') || ' to ' || f."table" || ' ' || group_concat(f."to", ', ')
              FROM sqlite_schema t JOIN pragma_foreign_key_list(t.name) f WHERE t.type = 'table' GROUP BY t.name, f.id, f."table"
            """),
        .. session.Query<string>(
            """
            SELECT t.name || CASE WHEN i."unique" = 1 THEN ' unique by ' ELSE ' index ' || i.name || ' by ' END
                   || (SELECT group_concat(name, ', ') FROM pragma_index_info(i.name))
                   || coalesce((SELECT substr(sql, instr(sql, ' WHERE ')) FROM sqlite_schema s WHERE s.name = i.name AND instr(sql, ' WHERE ') > 0), '')
              FROM sqlite_schema t JOIN pragma_index_list(t.name) i WHERE t.type = 'table' AND i.origin <> 'pk'
            """).Select(Plain),
        .. session.Query<string>("SELECT name || ' ' || sql FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
            .Select(table => $"{table[..table.IndexOf(' ', StringComparison.Ordinal)]} has {Checks().Count(table)} checks"),
        .. session.Query<string>("SELECT v.name || '.' || c.name || ' is shown' FROM sqlite_schema v JOIN pragma_table_info(v.name) c WHERE v.type = 'view'"),
    ];

    private static IReadOnlyList<string> OfServer(StudioSession session) =>
    [
        .. session.Query<string>(
            """
            SELECT t.relname || '.' || c.attname || ' '
                   || CASE format_type(c.atttypid, c.atttypmod)
                      WHEN 'bigint' THEN 'INTEGER' WHEN 'double precision' THEN 'REAL' WHEN 'bytea' THEN 'BLOB' WHEN 'text' THEN 'TEXT'
                      ELSE format_type(c.atttypid, c.atttypmod) END
                   || CASE WHEN c.attnotnull THEN ' required' ELSE '' END
                   || CASE WHEN d.adbin IS NULL THEN '' ELSE ' default ' || replace(pg_get_expr(d.adbin, d.adrelid), '::text', '') END
                   || coalesce(' key ' || array_position(k.conkey, c.attnum), '')
              FROM pg_class t
              JOIN pg_attribute c ON c.attrelid = t.oid AND c.attnum > 0 AND NOT c.attisdropped
              LEFT JOIN pg_attrdef d ON d.adrelid = t.oid AND d.adnum = c.attnum
              LEFT JOIN pg_constraint k ON k.conrelid = t.oid AND k.contype = 'p'
             WHERE t.relnamespace = 'public'::regnamespace AND t.relkind = 'r'
            """),
        .. session.Query<string>(
            """
            SELECT t.relname || ' refers by '
                   || (SELECT string_agg(attname, ', ' ORDER BY array_position(f.conkey, attnum)) FROM pg_attribute WHERE attrelid = f.conrelid AND attnum = ANY (f.conkey))
                   || ' to ' || o.relname || ' '
                   || (SELECT string_agg(attname, ', ' ORDER BY array_position(f.confkey, attnum)) FROM pg_attribute WHERE attrelid = f.confrelid AND attnum = ANY (f.confkey))
              FROM pg_constraint f JOIN pg_class t ON t.oid = f.conrelid JOIN pg_class o ON o.oid = f.confrelid
             WHERE f.contype = 'f'
            """),
        .. session.Query<string>(
            """
            SELECT t.relname || CASE WHEN i.indisunique THEN ' unique by ' ELSE ' index ' || n.relname || ' by ' END
                   || (SELECT string_agg(pg_get_indexdef(i.indexrelid, k, true), ', ' ORDER BY k) FROM generate_series(1, i.indnkeyatts) AS k)
                   || coalesce(' WHERE ' || pg_get_expr(i.indpred, i.indrelid, true), '')
              FROM pg_index i JOIN pg_class t ON t.oid = i.indrelid JOIN pg_class n ON n.oid = i.indexrelid
             WHERE t.relnamespace = 'public'::regnamespace AND NOT i.indisprimary
            """).Select(Plain),
        .. session.Query<string>(
            """
            SELECT t.relname || ' has ' || (SELECT count(*) FROM pg_constraint k WHERE k.conrelid = t.oid AND k.contype = 'c') || ' checks'
              FROM pg_class t WHERE t.relnamespace = 'public'::regnamespace AND t.relkind = 'r'
            """),
        .. session.Query<string>(
            """
            SELECT v.relname || '.' || c.attname || ' is shown' FROM pg_class v JOIN pg_attribute c ON c.attrelid = v.oid AND c.attnum > 0
             WHERE v.relnamespace = 'public'::regnamespace AND v.relkind = 'v'
            """),
    ];

    /// <summary>A condition as both engines would write it.</summary>
    private static string Plain(string index)
    {
        var plain = OfAny().Replace(Casts().Replace(index, ""), "IN ($1)").Replace("\"", "", StringComparison.Ordinal);
        var condition = plain.IndexOf(" WHERE ", StringComparison.Ordinal);
        return condition < 0 ? plain : plain[..condition] + plain[condition..].Replace("(", "", StringComparison.Ordinal).Replace(")", "", StringComparison.Ordinal);
    }

    [GeneratedRegex(@"::\w+(\[\])?")]
    private static partial Regex Casts();

    [GeneratedRegex(@"= ANY \(ARRAY\[(.*?)\]\)")]
    private static partial Regex OfAny();

    [GeneratedRegex(@"\bCHECK \(")]
    private static partial Regex Checks();
}
