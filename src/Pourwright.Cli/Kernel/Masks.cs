using System.Collections;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Protobuf.WellKnownTypes;

namespace Pourwright.Cli.Kernel;

/// <summary>Update masks for changes that take something away.</summary>
public static class Masks
{
    /// <summary>What is set, and what is cleared; nothing where nothing is cleared, since the server then takes what is set.</summary>
    public static FieldMask? Clearing(IMessage message, IEnumerable<string> cleared) => cleared.ToList() is { Count: > 0 } gone
        ? new() { Paths = { gone.Union(message.Descriptor.Fields.InDeclarationOrder().Where(field => IsSet(field, message)).Select(field => field.Name)) } }
        : null;

    private static bool IsSet(FieldDescriptor field, IMessage message) => field.IsRepeated
        ? ((IList)field.Accessor.GetValue(message)).Count > 0
        : field.HasPresence ? field.Accessor.HasValue(message)
        : field.Accessor.GetValue(message) switch { string text => text != "", int number => number != 0, double number => number != 0, _ => false };
}
