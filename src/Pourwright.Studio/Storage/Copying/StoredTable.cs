namespace Pourwright.Studio.Storage.Copying;

/// <summary>A table as a copy sees it.</summary>
/// <param name="Order">Columns that put its rows in one order: its key, or all where it has none.</param>
internal sealed record StoredTable(string Name, IReadOnlyList<string> Columns, IReadOnlyList<string> Order)
{
    /// <summary>All rows in that order; text by its bytes in either store.</summary>
    public string Select => $"SELECT {Quoted(Columns)} FROM \"{Name}\" ORDER BY {Quoted(Order)}";

    public static string Quoted(IEnumerable<string> names) => string.Join(", ", names.Select(name => $"\"{name}\""));
}
