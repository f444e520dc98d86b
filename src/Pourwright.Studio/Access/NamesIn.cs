using System.Collections;
using System.Collections.Concurrent;
using Google.Protobuf;
using Google.Protobuf.Reflection;

namespace Pourwright.Studio.Access;

/// <summary>The resource names that a message holds, wherever they stand in it.</summary>
/// <remarks>Every text that begins as a name does counts as one, whatever its field: nobody has to remember to mark a field.</remarks>
internal static class NamesIn
{
    private const string Beginning = "studios/";

    /// <summary>Fields of each message that hold text, or messages.</summary>
    private static readonly ConcurrentDictionary<MessageDescriptor, FieldDescriptor[]> Fields = new();

    public static IEnumerable<string> Message(IMessage message) => FieldsOf(message.Descriptor).SelectMany(field => Field(message, field));

    /// <summary>The names that stand in single fields of the message itself, by the names of these.</summary>
    public static Dictionary<string, string> Itself(IMessage message) => FieldsOf(message.Descriptor)
        .Where(field => field.FieldType == FieldType.String && !field.IsRepeated && field.Accessor.GetValue(message) is string text && IsName(text))
        .ToDictionary(field => field.Name, field => (string)field.Accessor.GetValue(message));

    public static bool IsName(string text) => text.StartsWith(Beginning, StringComparison.Ordinal);

    internal static FieldDescriptor[] FieldsOf(MessageDescriptor descriptor) => Fields.GetOrAdd(descriptor, static message =>
        [.. message.Fields.InDeclarationOrder().Where(field => field.FieldType is FieldType.String or FieldType.Message)]);

    private static IEnumerable<string> Field(IMessage message, FieldDescriptor field) => field.Accessor.GetValue(message) switch
    {
        null => [],
        string text => IsName(text) ? [text] : [],
        IMessage inner => Message(inner),
        IDictionary map => map.Keys.Cast<object>().Concat(map.Values.Cast<object>()).SelectMany(Item),
        IList list => list.Cast<object>().SelectMany(Item),
        _ => [],
    };

    private static IEnumerable<string> Item(object item) => item switch
    {
        string text when IsName(text) => [text],
        IMessage inner => Message(inner),
        _ => [],
    };
}
