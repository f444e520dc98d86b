using System.Buffers.Binary;
using System.Buffers.Text;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Names;

/// <summary>Where a page ended: the sort key of its last row. Lists sort by a number then a text, or by one of the two.</summary>
public readonly record struct PageKey(long Number, string Text)
{
    /// <summary>Key of a list sorted by text alone, such as the name.</summary>
    public static implicit operator PageKey(string text) => new(0, text);

    /// <summary>Key of a list sorted by a number alone, such as a sequence.</summary>
    public static implicit operator PageKey(long number) => new(number, "");
}

/// <summary>One page of a list and the token of the next, empty at the end.</summary>
public sealed record Page<T>(IReadOnlyList<T> Items, string NextPageToken);

/// <summary>A page as asked for. Select <see cref="Limit"/> rows after <see cref="After"/>, then <see cref="Cut"/>.</summary>
/// <param name="Size">Rows on the page.</param>
/// <param name="After">The key of the last row of the page before; null on the first.</param>
/// <param name="Query">Fingerprint of the list the page belongs to.</param>
public sealed record PageRequest(int Size, PageKey? After, long Query)
{
    /// <summary>One row more than the page, to know whether another page follows.</summary>
    public int Limit => Size + 1;

    /// <summary>Parameters for keys that ascend: `WHERE (created_ms, name) > (@number, @text) ORDER BY created_ms, name LIMIT @limit`.</summary>
    public long AfterNumber => After?.Number ?? long.MinValue;

    /// <inheritdoc cref="AfterNumber"/>
    public string AfterText => After?.Text ?? "";

    /// <summary>For numbers that descend: `WHERE (created_ms, name) &lt; (@number, @text) ORDER BY created_ms DESC, name DESC`.</summary>
    public long BeforeNumber => After?.Number ?? long.MaxValue;

    /// <summary>The rows of the page and the token of the next; <paramref name="rows"/> are up to <see cref="Limit"/> in the list's order.</summary>
    public Page<T> Cut<T>(IReadOnlyList<T> rows, Func<T, PageKey> key) => rows.Count <= Size
        ? new Page<T>(rows, "")
        : new Page<T>([.. rows.Take(Size)], Paging.Token(Query, key(rows[Size - 1])));
}

/// <summary>Keyset paging: a page begins after a key, never after a count, so rows inserted meanwhile shift nothing.</summary>
public static class Paging
{
    public const int SizeDefault = 50;
    public const int SizeMax = 500;

    /// <summary>Reads page_size (0 = 50, over 500 = 500) and page_token. <paramref name="query"/> is what makes the list another list: its method, parent, filter.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for a negative size, PAGE_TOKEN_INVALID for a token that is damaged or of another query.</exception>
    public static PageRequest Read(int pageSize, string pageToken, params string[] query)
    {
        if (pageSize < 0)
            throw Refusal.Invalid("page_size", pageSize.ToString(CultureInfo.InvariantCulture), $"must not be negative: 0 asks for {SizeDefault}, {SizeMax} is the most.");
        var fingerprint = Fingerprint(query);
        var size = pageSize == 0 ? SizeDefault : Math.Min(pageSize, SizeMax);
        return new PageRequest(size, pageToken.Length == 0 ? (PageKey?)null : Key(pageToken, fingerprint), fingerprint);
    }

    /// <summary>Token: fingerprint of the query and number of the key, 8 bytes each, big-endian, then the key's text.</summary>
    internal static string Token(long query, PageKey key)
    {
        var bytes = new byte[16 + Encoding.UTF8.GetByteCount(key.Text)];
        BinaryPrimitives.WriteInt64BigEndian(bytes, query);
        BinaryPrimitives.WriteInt64BigEndian(bytes.AsSpan(8), key.Number);
        Encoding.UTF8.GetBytes(key.Text, bytes.AsSpan(16));
        return Base64Url.EncodeToString(bytes);
    }

    private static PageKey Key(string token, long query)
    {
        if (!Base64Url.IsValid(token)) throw Refusal.PageTokenInvalid(token);
        var bytes = Base64Url.DecodeFromChars(token);
        if (bytes.Length < 16 || BinaryPrimitives.ReadInt64BigEndian(bytes) != query) throw Refusal.PageTokenInvalid(token);
        return new PageKey(BinaryPrimitives.ReadInt64BigEndian(bytes.AsSpan(8)), Encoding.UTF8.GetString(bytes.AsSpan(16)));
    }

    private static long Fingerprint(string[] query)
    {
        // The length before each part keeps ("ab", "c") apart from ("a", "bc").
        var text = string.Concat(query.Select(part => $"{part.Length}:{part}"));
        return BinaryPrimitives.ReadInt64BigEndian(SHA256.HashData(Encoding.UTF8.GetBytes(text)));
    }
}
