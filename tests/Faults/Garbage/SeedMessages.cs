using System.Collections;
using Google.Api;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Testing;

namespace Pourwright.Faults.Garbage;

/// <summary>Requests that look valid, made from their descriptions: what garbage is made of gets further into a handler than bytes alone.</summary>
/// <remarks>Names are of things that <see cref="GarbageStudio"/> has, or of those that calls before have made. All chance comes from the random numbers given.</remarks>
internal static class SeedMessages
{
    private const int DeepestMessage = 4;

    /// <summary>Ids that calls choose among, so that some come twice.</summary>
    private const int ChosenIds = 40;

    /// <summary>Ids of what the studio has, by kind; of every kind there may be a `first`.</summary>
    private static readonly Dictionary<string, string[]> Ids = new()
    {
        ["Studio"] = ["alder"], ["Site"] = ["north", "north", "north", "south", "hof"], ["Bench"] = ["shelf"], ["Sensor"] = ["shelf-logger"],
        ["ResinSystem"] = ["deep", "coat"], ["Lot"] = ["deep-a-lot", "deep-b-lot"], ["Container"] = ["deep-a1", "deep-b1"], ["Room"] = ["hall"],
        ["Station"] = ["planer", "saw"], ["Offering"] = ["tray"], ["Instructor"] = ["ana", "rui"], ["CastingClass"] = ["hof-spring", "hof-autumn", "first"],
        ["Session"] = ["pour", "machine"], ["Student"] = ["mia", "tom"], ["Enrolment"] = ["mia", "tom"], ["Mix"] = ["first"], ["Piece"] = ["first", "second"],
        ["Forecast"] = ["latest", "first"],
    };

    /// <summary>Fields that hold names without saying of what kind, with a kind that fits.</summary>
    private static readonly Dictionary<string, string> Unmarked = new()
    {
        ["pourwright.v1.PrintLabelsRequest.names"] = "pourwright/Piece",
        ["pourwright.v1.GetPieceEvidenceRequest.name"] = "pourwright/Piece",
        ["pourwright.v1.GetSiteWatchRequest.name"] = "pourwright/Site",
        ["pourwright.v1.PrintTraceRequest.name"] = "pourwright/Piece",
        ["pourwright.v1.TraceReachedRequest.name"] = "pourwright/Lot",
        ["pourwright.v1.GetReconciliationRequest.name"] = "pourwright/Lot",
    };

    private static readonly Dictionary<string, string> Texts = new()
    {
        ["time_zone"] = "Europe/Lisbon", ["email"] = "ivo@alder.example", ["contact_email"] = "mia@post.example", ["webhook_uri"] = "", ["page_token"] = "", ["etag"] = "",
        ["text"] = "(01)09506000134352(10)A2602-17(17)271231", ["label_text"] = "", ["photo_uris"] = "https://alder.example/1.jpg", ["method"] = "RecordMix", ["version"] = "1",
        ["paths"] = "display_name",
    };

    /// <summary>A request of a method.</summary>
    public static IMessage Of(MethodDescriptor method, Random random) => Fill(method.InputType, random, 0);

    private static IMessage Fill(MessageDescriptor descriptor, Random random, int depth)
    {
        if (descriptor.FullName.StartsWith("google.", StringComparison.Ordinal)) return OfGoogle(descriptor, random);
        var message = (IMessage)Activator.CreateInstance(descriptor.ClrType)!;
        foreach (var field in descriptor.Fields.InDeclarationOrder().Where(field => IsSaid(field, random, depth))) Set(message, field, random, depth);
        return message;
    }

    /// <summary>Names, what is required, half of the rest, and nothing that only answers have.</summary>
    private static bool IsSaid(FieldDescriptor field, Random random, int depth)
    {
        if (field.IsMap || (field.FieldType == FieldType.Message && depth == DeepestMessage)) return false;
        var behaviors = field.GetOptions()?.GetExtension(FieldBehaviorExtensions.FieldBehavior)?.ToArray() ?? [];
        var isNeeded = behaviors.Contains(FieldBehavior.Required) || behaviors.Contains(FieldBehavior.Identifier);
        return !behaviors.Contains(FieldBehavior.OutputOnly) && (isNeeded || random.Next(2) == 0);
    }

    private static void Set(IMessage message, FieldDescriptor field, Random random, int depth)
    {
        if (field.IsRepeated)
            for (var i = random.Next(1, 3); i > 0; i--) ((IList)field.Accessor.GetValue(message)).Add(Value(field, random, depth));
        else field.Accessor.SetValue(message, Value(field, random, depth));
    }

    private static object Value(FieldDescriptor field, Random random, int depth) => field.FieldType switch
    {
        FieldType.Message => Fill(field.MessageType, random, depth + 1),
        FieldType.String => Text(field, random),
        FieldType.Bool => random.Next(4) == 0,
        FieldType.Enum => System.Enum.ToObject(field.EnumType.ClrType, field.EnumType.Values[random.Next(Math.Min(1, field.EnumType.Values.Count - 1), field.EnumType.Values.Count)].Number),
        FieldType.Double => Quantity(field.Name, random),
        FieldType.Int64 => random.NextInt64(1, 200_000),
        FieldType.Int32 => random.Next(1, 10),
        FieldType.Bytes => ByteString.CopyFrom(1, 2, 3),
        _ => throw new ArgumentOutOfRangeException(nameof(field), field.FieldType, "A new type of field: say here what a value of it is."),
    };

    private static double Quantity(string name, Random random)
    {
        var (least, most) = name.EndsWith("celsius", StringComparison.Ordinal) ? (18.0, 26.0)
            : name.EndsWith("ratio", StringComparison.Ordinal) ? (0.1, 0.9)
            : name.EndsWith("percent", StringComparison.Ordinal) ? (1.0, 60.0)
            : name.EndsWith("m3", StringComparison.Ordinal) ? (900.0, 1200.0) : (5.0, 40.0);
        return least + random.NextDouble() * (most - least);
    }

    private static string Text(FieldDescriptor field, Random random)
    {
        if (KindOf(field) is { } kind) return Name(kind["pourwright/".Length..], random);
        if (field.Name == "request_id") return random.Next(2) == 0 ? "" : $"00000000-0000-4000-8000-{random.NextInt64(1, 1 << 30):x12}";
        if (field.Name.EndsWith("_id", StringComparison.Ordinal)) return random.Next(4) == 0 ? "first" : $"any-{random.Next(ChosenIds)}";
        return Texts.GetValueOrDefault(field.Name, "A few words");
    }

    private static string? KindOf(FieldDescriptor field) =>
        Unmarked.GetValueOrDefault(field.FullName)
        ?? (field.GetOptions()?.GetExtension(ResourceExtensions.ResourceReference) is { } reference
            ? reference.Type.Length > 0 ? reference.Type : reference.ChildType
            : field.Name == "name" ? field.ContainingType.GetOptions()?.GetExtension(ResourceExtensions.Resource)?.Type : null);

    private static string Name(string type, Random random)
    {
        if (type == "ResinLearning") return $"{Name("ResinSystem", random)}/learning";
        var kind = ResourceKind.All.Single(kind => kind.Type == type);
        string[] ids = random.Next(8) == 0 ? [$"any-{random.Next(ChosenIds)}"] : Ids.GetValueOrDefault(type, ["first"]);
        return kind.Under(kind.Parent is { } parent ? Name(parent.Type, random) : "", ids[random.Next(ids.Length)]);
    }

    private static IMessage OfGoogle(MessageDescriptor descriptor, Random random) => descriptor.Name switch
    {
        "Timestamp" => Timestamp.FromDateTimeOffset(StudioHarness.Start.AddMinutes(random.Next(-3000, 600))),
        "Duration" => Duration.FromTimeSpan(TimeSpan.FromMinutes(random.Next(1, 600))),
        "FieldMask" => new FieldMask { Paths = { "display_name" } },
        "Date" => new Google.Type.Date { Year = 2026, Month = random.Next(2, 5), Day = random.Next(1, 29) },
        "TimeOfDay" => new Google.Type.TimeOfDay { Hours = random.Next(8, 18) },
        _ => throw new ArgumentOutOfRangeException(nameof(descriptor), descriptor.FullName, "A new message of others: say here what one looks like."),
    };
}
