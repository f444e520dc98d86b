using System.Collections;
using System.Collections.Concurrent;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>Takes out of an answer what is not the caller's to see.</summary>
/// <remarks>
/// Of a list each element goes that is of another studio or site, and every other name of such a thing. Deeper down materials stay, such as the
/// cans of a mix: they move between sites, and a mix without one of its draws would be a wrong record.
/// </remarks>
internal sealed class LeaveOut(Caller caller, Scope scope)
{
    private const string NameField = "name";
    private const string SiteField = "site";

    private static readonly string[] Materials = ["lots", "containers", "mixes"];

    private static readonly ConcurrentDictionary<(MessageDescriptor, Role), bool> Hiding = new();
    private static readonly ConcurrentDictionary<Type, MessageDescriptor> Descriptors = new();

    /// <summary>Whether an answer must be looked through at all.</summary>
    public static bool Applies(Caller caller, IMessage request, Type answer) =>
        caller.IsOfSomeSites || HidesFields(DescriptorOf(answer), caller.Role, []) || (!caller.IsOfEveryStudio && !NamesIn.Message(request).Any());

    /// <summary>Whether one message of a stream, or of a list, is the caller's to see: by its site, else by its name, else by all it names.</summary>
    public bool Sees(IMessage message) => Telling(message).All(name => scope.Sees(name, missing: true));

    /// <summary>Looks through a message, changing it; its own elements are those of a list where <paramref name="isAnswer"/>.</summary>
    public void From(IMessage message, bool isAnswer = true)
    {
        foreach (var field in NamesIn.FieldsOf(message.Descriptor))
        {
            if (Policies.Fields.TryGetValue(field.FullName, out var role) && !caller.Role.IsAtLeast(role)) field.Accessor.Clear(message);
            else Look(message, field, isAnswer);
        }
    }

    private void Look(IMessage message, FieldDescriptor field, bool isAnswer)
    {
        switch (field.Accessor.GetValue(message))
        {
            case string text when NamesIn.IsName(text) && field.Name != NameField && !SeesDeep(text):
                field.Accessor.Clear(message);
                break;
            case IMessage inner when !Telling(inner).All(SeesDeep):
                field.Accessor.Clear(message);
                break;
            case IMessage inner:
                From(inner, isAnswer: false);
                break;
            case IDictionary map:
                foreach (var inner in map.Values.OfType<IMessage>()) From(inner, isAnswer: false);
                break;
            case IList list:
                Thin(list, isAnswer);
                break;
        }
    }

    private void Thin(IList list, bool isAnswer)
    {
        for (var i = list.Count - 1; i >= 0; i--)
        {
            if (!SeesItem(list[i]!, isAnswer)) list.RemoveAt(i);
            else if (list[i] is IMessage inner) From(inner, isAnswer: false);
        }
    }

    private bool SeesItem(object item, bool isAnswer) => item switch
    {
        string text => !NamesIn.IsName(text) || SeesDeep(text),
        IMessage message when isAnswer => Sees(message),
        IMessage message => Telling(message).All(SeesDeep),
        _ => true,
    };

    private static string[] Telling(IMessage message)
    {
        var names = NamesIn.Itself(message);
        return names.GetValueOrDefault(SiteField) is { } site ? [site] : names.GetValueOrDefault(NameField) is { } name ? [name] : [.. names.Values];
    }

    private bool SeesDeep(string name) => Materials.Contains(name.Split('/', 4) is [_, _, var collection, ..] ? collection : "") && IsOfStudio(name)
        || scope.Sees(name, missing: true);

    private bool IsOfStudio(string name) => caller.IsOfEveryStudio || Names.ResourceNames.StudioOf(name) == caller.Studio;

    private static MessageDescriptor DescriptorOf(Type message) =>
        Descriptors.GetOrAdd(message, static type => ((IMessage)Activator.CreateInstance(type)!).Descriptor);

    private static bool HidesFields(MessageDescriptor message, Role role, HashSet<MessageDescriptor> above) => Hiding.TryGetValue((message, role), out var hides)
        ? hides
        : Hiding[(message, role)] = above.Add(message) && message.Fields.InDeclarationOrder().Any(field =>
            (Policies.Fields.TryGetValue(field.FullName, out var from) && !role.IsAtLeast(from))
            || (field.FieldType == FieldType.Message && HidesFields(field.MessageType, role, above)));
}
