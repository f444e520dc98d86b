using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Sealing;

/// <summary>A seal as one line of canonical JSON, short enough for a mail.</summary>
public static class SealJson
{
    private const string Format = "pourwright seal 1";

    private static readonly JsonSerializerOptions Names = new() { PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower, RespectNullableAnnotations = true };

    public static string Write(Seal seal) => Encoding.UTF8.GetString(CanonicalJson.Bytes(JsonSerializer.SerializeToNode(
        new WrittenSeal
        {
            Format = Format,
            SealTimeMs = seal.SealTime.ToUnixTimeMilliseconds(),
            HeadCount = seal.HeadCount,
            Root = seal.Root.Hex,
            Heads = [.. seal.Heads.Select(head => new WrittenHead { Site = head.Site, RowCount = head.RowCount, Link = head.Link.Hex })],
        }, Names)));

    /// <exception cref="FormatException">The text is no seal; the message says why.</exception>
    public static Seal Read(string text)
    {
        try
        {
            return Understood(JsonSerializer.Deserialize<WrittenSeal>(text, Names) ?? throw new FormatException("It is null."));
        }
        catch (Exception e) when (e is JsonException or FormatException or ArgumentException)
        {
            throw new FormatException($"This is no seal: {e.Message} Give the JSON as it was exported.", e);
        }
    }

    private static Seal Understood(WrittenSeal written)
    {
        if (written.Format != Format) throw new FormatException($"Its format is \"{written.Format}\" and not \"{Format}\".");
        if (written.HeadCount < written.Heads.Count) throw new FormatException($"It stands over {written.HeadCount} heads and names {written.Heads.Count}.");
        if (written.Heads.Any(head => head is null)) throw new FormatException("A head of it is null.");
        var time = DateTimeOffset.FromUnixTimeMilliseconds(written.SealTimeMs);
        return new(time, written.HeadCount, Digest.FromHex(written.Root),
            [.. written.Heads.Select(head => new SealedHead(head.Site, head.RowCount, Digest.FromHex(head.Link), time))]);
    }

    private sealed record WrittenSeal
    {
        public required string Format { get; init; }
        public required long SealTimeMs { get; init; }
        public required int HeadCount { get; init; }
        public required string Root { get; init; }
        public required IReadOnlyList<WrittenHead> Heads { get; init; }
    }

    private sealed record WrittenHead
    {
        public required string Site { get; init; }
        public required long RowCount { get; init; }
        public required string Link { get; init; }
    }
}
