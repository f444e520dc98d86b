namespace Pourwright.Studio.Messaging;

/// <summary>Which message kinds there are, and who consumes each: exactly one consumer a kind.</summary>
public sealed class MessageKinds
{
    private readonly Dictionary<string, Type> _byName = [];

    /// <summary>Finds the consumers among <paramref name="types"/>.</summary>
    /// <exception cref="InvalidOperationException">Two consumers take one kind, or two kinds share a name.</exception>
    public MessageKinds(IEnumerable<Type> types)
    {
        Consumers = [.. types.Where(t => !t.IsAbstract && MessageOf(t) is not null)];
        foreach (var consumer in Consumers)
        {
            var message = MessageOf(consumer)!;
            if (!_byName.TryAdd(message.Name, message))
                throw new InvalidOperationException($"{message.Name} has a second consumer, {consumer.Name}. A kind of message has one; publish two kinds instead.");
        }
    }

    public IReadOnlyList<Type> Consumers { get; }

    /// <summary>The type of a stored message; null when this build has no consumer for it.</summary>
    public Type? Find(string kind) => _byName.GetValueOrDefault(kind);

    private static Type? MessageOf(Type? type)
    {
        while (type is not null && !(type.IsGenericType && type.GetGenericTypeDefinition() == typeof(InboxConsumer<>))) type = type.BaseType;
        return type?.GenericTypeArguments[0];
    }
}
