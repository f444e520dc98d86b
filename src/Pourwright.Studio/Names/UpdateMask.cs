using System.Collections;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Names;

/// <summary>What an update changes: the fields of its mask; without one those that are set; with `*` all that may change.</summary>
public static class UpdateMask
{
    /// <summary>The resource after an update: fields of the mask from <paramref name="change"/>, the rest as it is.</summary>
    /// <param name="changeable">Names of the fields that an update may name.</param>
    /// <exception cref="Refusal">ETAG_STALE where the resource was changed meanwhile, FIELD_INVALID for a path that cannot change.</exception>
    public static T Merge<T>(T current, T change, FieldMask? mask, IReadOnlyList<string> changeable)
        where T : IMessage<T>, IDeepCloneable<T>
    {
        CheckEtag(current, change);
        var merged = current.Clone();
        foreach (var field in Fields(change, mask, changeable)) Copy(field, change, merged);
        return merged;
    }

    private static void CheckEtag(IMessage current, IMessage change)
    {
        var (sent, now) = (Text(change, "etag"), Text(current, "etag"));
        if (sent.Length > 0 && sent != now) throw Refusal.EtagStale(Text(current, "name"), sent, now);
    }

    private static IEnumerable<FieldDescriptor> Fields(IMessage change, FieldMask? mask, IReadOnlyList<string> changeable)
    {
        var every = changeable.Select(path => change.Descriptor.FindFieldByName(path));
        if (mask is null) return every.Where(field => IsSet(field, change));
        if (mask.Paths is ["*"]) return every;
        var checks = new FieldChecks();
        foreach (var path in mask.Paths)
            checks.Require(changeable.Contains(path), "update_mask", $"may name {string.Join(", ", changeable)}, or be `*`.", path);
        checks.ThrowIfAny();
        return mask.Paths.Select(path => change.Descriptor.FindFieldByName(path));
    }

    private static bool IsSet(FieldDescriptor field, IMessage message) =>
        field.IsRepeated ? ((IList)field.Accessor.GetValue(message)).Count > 0
        : field.HasPresence ? field.Accessor.HasValue(message)
        : field.Accessor.GetValue(message) switch
        {
            string text => text.Length > 0,
            System.Enum value => Convert.ToInt64(value, null) != 0,
            IConvertible number => number.ToDouble(null) != 0,
            _ => true,
        };

    private static void Copy(FieldDescriptor field, IMessage from, IMessage to)
    {
        field.Accessor.Clear(to);
        if (field.IsRepeated) AddAll((IList)field.Accessor.GetValue(to), (IList)field.Accessor.GetValue(from));
        else if (!field.HasPresence || field.Accessor.HasValue(from)) field.Accessor.SetValue(to, field.Accessor.GetValue(from));
    }

    private static void AddAll(IList to, IList from)
    {
        foreach (var item in from) to.Add(item);
    }

    private static string Text(IMessage message, string field) => (string)message.Descriptor.FindFieldByName(field).Accessor.GetValue(message);
}
