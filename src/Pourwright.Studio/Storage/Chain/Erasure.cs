using System.Globalization;

namespace Pourwright.Studio.Storage.Chain;

/// <summary>Forgets sealed texts of evidence.</summary>
public static class Erasure
{
    /// <summary>Puts other texts in place of the sealed ones of a row, deletes their salt, and records it. Columns that are not named keep their text.</summary>
    /// <param name="tx">The write.</param>
    /// <param name="table">One with sealed columns, whose key is one column.</param>
    /// <param name="key">As its column holds it.</param>
    /// <param name="studio">The studio of the row.</param>
    /// <param name="person">The pseudonym of whom it named.</param>
    /// <param name="replacements">Texts by column.</param>
    /// <returns>False for a row that was recorded before there were seals: it stays as it is.</returns>
    public static bool Erase(StudioTransaction tx, EvidenceTable table, object key, string studio, string person, IReadOnlyDictionary<string, string> replacements)
    {
        if (tx.Scalar<long>($"SELECT count(*) FROM {table.Name} WHERE {table.Key[0]} = @key AND {table.Sealed[0]}_seal IS NOT NULL", new { key }) == 0) return false;
        var named = Convert.ToString(key, CultureInfo.InvariantCulture);
        foreach (var column in table.Sealed)
        {
            if (replacements.TryGetValue(column, out var text)) tx.Execute($"UPDATE {table.Name} SET {column} = @text WHERE {table.Key[0]} = @key", new { text, key });
            else text = tx.Scalar<string>($"SELECT {column} FROM {table.Name} WHERE {table.Key[0]} = @key", new { key });
            tx.Execute(
                """
                INSERT INTO erasures (studio, person, record_table, record_key, record_column, replacement_sha256, erase_ms)
                VALUES (@studio, @person, @table, @named, @column, @sha256, @now)
                """,
                new { studio, person, table = table.Name, named, column, sha256 = SealedText.Sha256(text!), now = tx.Now.ToUnixMs() });
        }
        tx.Execute($"UPDATE {table.Name} SET seal_salt = NULL WHERE {table.Key[0]} = @key", new { key });
        return true;
    }
}
