using System.Collections;
using System.Text;
using Google.Protobuf;
using Google.Protobuf.Reflection;

namespace Pourwright.Faults.Garbage;

/// <summary>What is done to a request, in its fields or in its bytes; all chance comes from the random numbers given.</summary>
internal static class Mutations
{
    private const int LongText = 200_000, CopiesMost = 1000, DeepNesting = 4000, ChangesMost = 3;

    private static readonly double[] OddDoubles = [double.NaN, double.PositiveInfinity, double.NegativeInfinity, -0.0, double.MaxValue, double.Epsilon, -1, 0, 1e9];

    private static readonly long[] OddLongs = [long.MinValue, long.MaxValue, -1, 0, int.MinValue, int.MaxValue, 1_000_000_000, -62_135_596_801, 253_402_300_799, 253_402_300_800, 315_576_000_000, 9999, 1, 31, 59];

    private static readonly string[] OddTexts =
    [
        "", " ", "\0", "first\0", "https://alder.example/\0", "ivo\0@alder.example", "\u202e\u0007", "🪵🪵🪵", "e\u0301", "studios/", "/", "studios/alder/../birch", "studios/alder/sites/north/", "STUDIOS/ALDER", "'; DROP TABLE lots; --",
        "%00%0a", "{0}", "<b>", "a\r\nX-Other: b", "99999999999999999999", "\uffff", "Europe/../Lisbon", "=1+1", "null", "[]", new('/', 2000), $"x{string.Concat(Enumerable.Repeat("🪵", 500))}", new('x', LongText), new('é', LongText / 3),
    ];

    private static readonly Func<byte[], Random, byte[]>[] OfBytes = [FlipBits, Truncate, Insert, LieOfLength, Repeat, HugeVarint, OtherWireType, NestDeep, BreakUtf8, Noise, (_, _) => []];

    /// <summary>The bytes of a request that was changed somehow; now and then it is left as it is, so that there is something to be garbage about.</summary>
    public static byte[] Of(IMessage request, Random random)
    {
        if (random.Next(10) == 0) return request.ToByteArray();
        if (random.Next(2) == 0) return OfBytes[random.Next(OfBytes.Length)](request.ToByteArray(), random);
        for (var changes = random.Next(1, ChangesMost + 1); changes > 0; changes--) ChangeField(request, random);
        return request.ToByteArray();
    }

    /// <summary>Gives some field, at any depth, a value that nobody means.</summary>
    public static void ChangeField(IMessage request, Random random)
    {
        (IMessage Message, FieldDescriptor Field)[] places = [.. Places(request)];
        if (places.Length == 0) return;
        var (message, field) = places[random.Next(places.Length)];
        if (field.IsMap) return;
        if (field.IsRepeated) ChangeList((IList)field.Accessor.GetValue(message), field, random);
        else if (Odd(field, random) is { } odd) field.Accessor.SetValue(message, odd);
        else field.Accessor.Clear(message);
    }

    private static IEnumerable<(IMessage, FieldDescriptor)> Places(IMessage message)
    {
        foreach (var field in message.Descriptor.Fields.InDeclarationOrder())
        {
            yield return (message, field);
            if (field.FieldType != FieldType.Message || field.IsMap) continue;
            var value = field.Accessor.GetValue(message);
            IEnumerable<IMessage> below = field.IsRepeated ? ((IList)value).Cast<IMessage>() : value is IMessage one ? [one] : [];
            foreach (var place in below.SelectMany(Places)) yield return place;
        }
    }

    /// <summary>Emptied, given an odd item, or made as long as a message may be.</summary>
    private static void ChangeList(IList list, FieldDescriptor field, Random random)
    {
        var kind = random.Next(3);
        if (kind == 0 || (kind == 2 && list.Count == 0)) list.Clear();
        else if (kind == 1 && Odd(field, random) is { } odd) list.Add(odd);
        else if (kind == 2) for (var copies = Math.Min(CopiesMost, LongText / SizeOf(list[0]!)); copies > 0; copies--) list.Add(list[0]);
    }

    private static int SizeOf(object item) => 8 + (item is IMessage message ? message.CalculateSize() : item is string text ? text.Length : 0);

    /// <summary>Null where the field is cleared.</summary>
    private static object? Odd(FieldDescriptor field, Random random) => field.FieldType switch
    {
        FieldType.Double => OddDoubles[random.Next(OddDoubles.Length)],
        FieldType.Int64 => OddLongs[random.Next(OddLongs.Length)],
        FieldType.Int32 => (int)OddLongs[random.Next(OddLongs.Length)],
        FieldType.Enum => Enum.ToObject(field.EnumType.ClrType, (int)OddLongs[random.Next(OddLongs.Length)]),
        FieldType.String => OddTexts[random.Next(OddTexts.Length)],
        FieldType.Bool => random.Next(2) == 0,
        FieldType.Message when random.Next(2) == 0 => Activator.CreateInstance(field.MessageType.ClrType),
        _ => null,
    };

    private static byte[] FlipBits(byte[] bytes, Random random)
    {
        for (var flips = bytes.Length == 0 ? 0 : random.Next(1, 9); flips > 0; flips--) bytes[random.Next(bytes.Length)] ^= (byte)(1 << random.Next(8));
        return bytes;
    }

    private static byte[] Truncate(byte[] bytes, Random random) => bytes[..random.Next(bytes.Length + 1)];

    private static byte[] Insert(byte[] bytes, Random random) => Within(bytes, random, Noise([], random));

    /// <summary>A length that its field does not have: the byte after the tag of a field.</summary>
    private static byte[] LieOfLength(byte[] bytes, Random random)
    {
        if (WireField.Of(bytes) is not { Count: > 0 } fields) return bytes;
        var field = fields[random.Next(fields.Count)];
        return [.. bytes[..field.Value], .. Varint((ulong)random.NextInt64(0, 1L << random.Next(1, 63))), .. bytes[(field.Value + 1)..]];
    }

    private static byte[] Repeat(byte[] bytes, Random random)
    {
        if (WireField.Of(bytes) is not { Count: > 0 } fields) return bytes;
        var field = fields[random.Next(fields.Count)];
        var copies = Math.Min(CopiesMost, LongText / (field.End - field.Start));
        return [.. bytes, .. Enumerable.Repeat(bytes[field.Start..field.End], random.Next(1, copies + 2)).SelectMany(copy => copy)];
    }

    /// <summary>Eleven bytes that each say that another follows, where ten is the most (Protocol Buffers, encoding; from memory), or the greatest number.</summary>
    private static byte[] HugeVarint(byte[] bytes, Random random) =>
        [.. bytes, (byte)(random.Next(1, 16) << 3), .. random.Next(2) == 0 ? Enumerable.Repeat((byte)0xff, 11) : Varint(ulong.MaxValue)];

    private static byte[] OtherWireType(byte[] bytes, Random random)
    {
        if (WireField.Of(bytes) is not { Count: > 0 } fields) return bytes;
        bytes[fields[random.Next(fields.Count)].Start] ^= (byte)random.Next(1, 8);
        return bytes;
    }

    /// <summary>A field in itself, and so on; also as groups, which nobody has sent for years.</summary>
    private static byte[] NestDeep(byte[] bytes, Random random)
    {
        var number = (byte)(random.Next(1, 16) << 3);
        if (random.Next(2) == 0) return [.. bytes, .. Enumerable.Repeat((byte)(number | 3), DeepNesting)];
        byte[] inner = [];
        for (var depth = random.Next(10, 200); depth > 0; depth--) inner = [(byte)(number | 2), .. Varint((ulong)inner.Length), .. inner];
        return [.. bytes, .. inner];
    }

    private static byte[] BreakUtf8(byte[] bytes, Random random)
    {
        byte[] broken = [0xc3, 0x28, 0xed, 0xa0, 0x80, 0xff];
        return [.. bytes, (byte)((random.Next(1, 16) << 3) | 2), (byte)broken.Length, .. broken];
    }

    private static byte[] Noise(byte[] bytes, Random random)
    {
        var noise = new byte[random.Next(1, 1 << random.Next(1, 12))];
        random.NextBytes(noise);
        return noise;
    }

    private static byte[] Within(byte[] bytes, Random random, byte[] more)
    {
        var at = random.Next(bytes.Length + 1);
        return [.. bytes[..at], .. more, .. bytes[at..]];
    }

    private static byte[] Varint(ulong value)
    {
        using var bytes = new MemoryStream();
        using (var output = new CodedOutputStream(bytes, leaveOpen: true)) output.WriteUInt64(value);
        return bytes.ToArray();
    }

    /// <summary>Text of JSON that was changed somehow.</summary>
    public static byte[] OfJson(string json, Random random)
    {
        var bytes = Encoding.UTF8.GetBytes(random.Next(2) == 0 ? OddJson.Of(json, random) : json);
        return random.Next(3) switch { 0 => FlipBits(bytes, random), 1 => Truncate(bytes, random), _ => bytes };
    }
}

/// <summary>Where a field of a message stands among its bytes: its tag, its value, its end.</summary>
internal readonly record struct WireField(int Start, int Value, int End)
{
    /// <summary>The outermost fields of a message that can be read.</summary>
    public static IReadOnlyList<WireField> Of(byte[] message)
    {
        List<WireField> fields = [];
        using var input = new CodedInputStream(message);
        for (var start = 0; input.ReadTag() != 0; start = (int)input.Position)
        {
            var value = (int)input.Position;
            input.SkipLastField();
            fields.Add(new(start, value, (int)input.Position));
        }
        return fields;
    }
}
