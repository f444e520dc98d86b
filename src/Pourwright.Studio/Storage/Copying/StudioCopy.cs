using System.Globalization;

namespace Pourwright.Studio.Storage.Copying;

/// <summary>How many rows of a table were copied and compared.</summary>
public sealed record CopiedTable(string Name, long RowCount);

/// <summary>Copies all records of one store into another, empty one, and compares every value of every row afterwards.</summary>
/// <remarks>
/// The source is read on one view and never written. The target is written in one transaction, so it holds everything or nothing.
/// What a running node writes after the view was taken is not copied: stop the nodes first.
/// </remarks>
public static class StudioCopy
{
    /// <summary>Tables into which a migration puts a row of its own, which that of the source takes the place of.</summary>
    private static readonly string[] MadeByScripts = ["export_keys"];

    /// <exception cref="InvalidOperationException">The source was made by another release, the target is not empty, a row cannot be kept
    /// in the target, or a row read back differs; the message says where and what to do.</exception>
    public static IReadOnlyList<CopiedTable> Run(StudioStore from, StudioStore to)
    {
        to.Migrate();
        using CopyEnd source = CopyEnd.Of(from), target = CopyEnd.Of(to);
        source.BeginReading();
        RequireSameRelease(source, target, from.Place);
        var tables = source.Tables();
        target.BeginWriting();
        foreach (var table in MadeByScripts) target.Clear(table);
        RequireEmpty(target, to.Place);
        List<CopiedTable> copied = [.. tables.Select(table => Copy(source, target, table))];
        foreach (var table in tables) Compare(table, source.Read(table), target.Read(table));
        target.EndWriting();
        return copied;
    }

    private static CopiedTable Copy(CopyEnd source, CopyEnd target, StoredTable table)
    {
        var count = target.Write(table, source.Read(table).Select(row => Keepable(table, row)));
        if (source.LastNumber(table) is { } last) target.GoOnFrom(table, last);
        return new(table.Name, count);
    }

    private static void RequireSameRelease(CopyEnd source, CopyEnd target, string place)
    {
        if (!source.Scripts().SequenceEqual(target.Scripts(), StringComparer.Ordinal))
            throw new InvalidOperationException($"{place} is not of this release. Start a node of this release on it once, stop it, and copy then.");
    }

    private static void RequireEmpty(CopyEnd target, string place)
    {
        foreach (var table in target.Tables())
            if (target.Count(table.Name) is var count and > 0)
                throw new InvalidOperationException($"{place} is not empty: {table.Name} has {count} rows. Copy into a new file or database.");
    }

    // PostgreSQL keeps no character 0 in text; SQLite does.
    private static object[] Keepable(StoredTable table, object[] row) =>
        row.OfType<string>().FirstOrDefault(text => text.Contains('\0', StringComparison.Ordinal)) is not { } odd ? row
        : throw new InvalidOperationException($"A row of {table.Name} holds a text with a character 0, which PostgreSQL cannot keep: {odd.Replace("\0", "\\0", StringComparison.Ordinal)}.");

    private static void Compare(StoredTable table, IEnumerable<object[]> source, IEnumerable<object[]> target)
    {
        using IEnumerator<object[]> left = source.GetEnumerator(), right = target.GetEnumerator();
        while (true)
        {
            var (isLeft, isRight) = (left.MoveNext(), right.MoveNext());
            if (!isLeft && !isRight) return;
            if (isLeft != isRight) throw new InvalidOperationException($"{table.Name} has more rows {(isLeft ? "in the source" : "in the target")}. Nothing was copied.");
            for (var i = 0; i < table.Columns.Count; i++)
                if (!IsSame(left.Current[i], right.Current[i]))
                    throw new InvalidOperationException(
                        $"{table.Name}.{table.Columns[i]} reads back as {Shown(right.Current[i])} where the source has {Shown(left.Current[i])}. Nothing was copied.");
        }
    }

    private static bool IsSame(object left, object right) =>
        left is byte[] bytes ? right is byte[] others && bytes.AsSpan().SequenceEqual(others) : left.Equals(right);

    private static string Shown(object value) => value is byte[] bytes ? Convert.ToHexString(bytes) : Convert.ToString(value, CultureInfo.InvariantCulture)!;
}
