using System.Collections;
using Google.Api;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Grpc.Core;

namespace Pourwright.Studio.Tests.Access;

/// <summary>Any call of the protocol, its request made up from its own description: every name in it is of one site.</summary>
internal sealed record AnyCall(MethodDescriptor Method)
{
    private const int DeepestMessage = 3;

    private static readonly Marshaller<byte[]> Bytes = Marshallers.Create<byte[]>(value => value, value => value);

    /// <summary>Fields that hold names without saying of what kind, with a kind that fits.</summary>
    private static readonly Dictionary<string, string> Unmarked = new()
    {
        ["pourwright.v1.PrintLabelsRequest.names"] = "pourwright/Piece",
        ["pourwright.v1.ListCalendarLinksRequest.subject"] = "pourwright/Instructor",
    };

    public static IReadOnlyList<AnyCall> All { get; } =
    [
        .. typeof(V1.AccessService).Assembly.GetTypes().Where(type => type.Name.EndsWith("Reflection", StringComparison.Ordinal))
            .SelectMany(type => ((FileDescriptor)type.GetProperty("Descriptor")!.GetValue(null)!).Services)
            .SelectMany(service => service.Methods).Select(method => new AnyCall(method)).OrderBy(call => call.Path, StringComparer.Ordinal),
    ];

    /// <summary>`/pourwright.v1.MixService/RecordMix`.</summary>
    public string Path => $"/{Method.Service.FullName}/{Method.Name}";

    /// <summary>Whether it answers once and changes nothing.</summary>
    public bool IsRead => !Method.IsServerStreaming && !Method.IsClientStreaming && ((string[])["Get", "List", "Ask"]).Any(verb => Method.Name.StartsWith(verb, StringComparison.Ordinal));

    /// <summary>The paths of the fields that hold a name.</summary>
    public IReadOnlyList<string> NameFields { get; } = [.. Walk(Method.InputType, "", 0)];

    /// <summary>Fills each name field with a thing at the site that <paramref name="site"/> says for its path.</summary>
    public IMessage Request(Func<string, string> site) => Fill(Method.InputType, "", 0, site)!;

    /// <summary>Sends it; the refusal, or null and the answer.</summary>
    public async Task<(RpcException? Refusal, string Answer)> SendAsync(CallInvoker calls, IMessage request)
    {
        var type = Method.IsClientStreaming ? MethodType.ClientStreaming : Method.IsServerStreaming ? MethodType.ServerStreaming : MethodType.Unary;
        var raw = new Method<byte[], byte[]>(type, Method.Service.FullName, Method.Name, Bytes, Bytes);
        try
        {
            return (null, await AnswerAsync(calls, raw, request.ToByteArray()));
        }
        catch (RpcException refusal)
        {
            return (refusal, "");
        }
    }

    private async Task<string> AnswerAsync(CallInvoker calls, Method<byte[], byte[]> raw, byte[] request)
    {
        switch (raw.Type)
        {
            case MethodType.Unary:
                return Text(await calls.AsyncUnaryCall(raw, null, new(), request));
            case MethodType.ServerStreaming:
                using (var stream = calls.AsyncServerStreamingCall(raw, null, new(), request))
                {
                    await stream.ResponseStream.MoveNext(default);
                    return Text(stream.ResponseStream.Current);
                }

            default:
                using (var sending = calls.AsyncClientStreamingCall(raw, null, new()))
                {
                    await WriteAsync(sending.RequestStream, request);
                    return Text(await sending);
                }
        }
    }

    /// <summary>A server that refuses a call while it is still being sent ends the sending; the answer says why.</summary>
    private static async Task WriteAsync(IClientStreamWriter<byte[]> requests, byte[] request)
    {
        try
        {
            await requests.WriteAsync(request);
            await requests.CompleteAsync();
        }
        catch (RpcException)
        {
        }
    }

    private string Text(byte[] answer) => Method.OutputType.Parser.ParseFrom(answer).ToString()!;

    private static string? KindOf(FieldDescriptor field, MessageDescriptor message) =>
        Unmarked.GetValueOrDefault(field.FullName)
        ?? (field.GetOptions()?.GetExtension(ResourceExtensions.ResourceReference) is { } reference
            ? reference.Type.Length > 0 ? reference.Type : reference.ChildType
            : field.Name == "name" ? message.GetOptions()?.GetExtension(ResourceExtensions.Resource)?.Type : null);

    private static IEnumerable<string> Walk(MessageDescriptor message, string path, int depth) => message.Fields.InDeclarationOrder().SelectMany(field =>
        field.FieldType == FieldType.String && KindOf(field, message) is not null ? [$"{path}{field.Name}"]
        : IsOurs(field) && depth < DeepestMessage ? Walk(field.MessageType, $"{path}{field.Name}.", depth + 1)
        : []);

    private static bool IsOurs(FieldDescriptor field) =>
        field.FieldType == FieldType.Message && field.MessageType.FullName.StartsWith("pourwright.", StringComparison.Ordinal) && !field.IsMap;

    /// <summary>Null where nothing in it holds a name.</summary>
    private static IMessage? Fill(MessageDescriptor descriptor, string path, int depth, Func<string, string> site)
    {
        var message = (IMessage)Activator.CreateInstance(descriptor.ClrType)!;
        foreach (var field in descriptor.Fields.InDeclarationOrder())
        {
            object? value = field.FieldType == FieldType.String && KindOf(field, descriptor) is { } kind ? NameOf(kind, site($"{path}{field.Name}"))
                : IsOurs(field) && depth < DeepestMessage && Walk(field.MessageType, "", depth + 1).Any() ? Fill(field.MessageType, $"{path}{field.Name}.", depth + 1, site)
                : null;
            if (value is null || value is "") continue;
            if (field.IsRepeated) ((IList)field.Accessor.GetValue(message)).Add(value);
            else field.Accessor.SetValue(message, value);
        }
        return message;
    }

    /// <summary>A thing of a kind at a site; nothing for no site.</summary>
    private static string NameOf(string kind, string site)
    {
        if (site.Length == 0) return "";
        var studio = site.StartsWith(AccessStudio.East, StringComparison.Ordinal) ? "studios/birch" : "studios/alder";
        return kind["pourwright/".Length..] switch
        {
            "Studio" => studio,
            "Site" => $"{studio}/sites/{site}",
            "Bench" => $"{studio}/sites/{site}/benches/{site}",
            "Sensor" => $"{studio}/sites/{site}/sensors/{site}",
            "Room" => $"{studio}/sites/{site}/rooms/{site}",
            "Station" => $"{studio}/sites/{site}/stations/{site}",
            "Outage" => $"{studio}/sites/{site}/outages/{site}",
            "Mould" => $"{studio}/sites/{site}/moulds/{site}",
            "ResinSystem" => $"{studio}/resinSystems/deep",
            "ResinLearning" => $"{studio}/resinSystems/deep/learning",
            "Offering" => $"{studio}/offerings/tray",
            "Instructor" => $"{studio}/instructors/{site}",
            "Absence" => $"{studio}/instructors/{site}/absences/{site}",
            "CastingClass" => $"{studio}/classes/{site}",
            "Session" => $"{studio}/classes/{site}/sessions/pour",
            "PrepTask" => $"{studio}/classes/{site}/tasks/{site}",
            "Enrolment" => $"{studio}/classes/{site}/enrolments/{site}",
            "Student" => $"{studio}/students/{site}",
            "Lot" => $"{studio}/lots/{site}",
            "Container" => $"{studio}/containers/{site}",
            "Mix" => $"{studio}/mixes/{site}",
            "Piece" => $"{studio}/pieces/{site}",
            "Pour" => $"{studio}/pieces/{site}/pours/{site}",
            "Check" => $"{studio}/pieces/{site}/checks/{site}",
            "Step" => $"{studio}/pieces/{site}/steps/{site}",
            "Forecast" => $"{studio}/pieces/{site}/forecasts/latest",
            "Defect" => $"{studio}/defects/{site}",
            "Reminder" => $"{studio}/reminders/{site}",
            "CalendarLink" => $"{studio}/calendarLinks/{site}",
            "Plan" => $"{studio}/plans/spring",
            "Recall" => $"{studio}/recalls/spring",
            "RecallNotice" => $"{studio}/recalls/spring/notices/first",
            "Seal" => $"{studio}/seals/spring",
            "AccessKey" => $"{studio}/accessKeys/tablet",
            "StudentLink" => $"{studio}/studentLinks/{site}",
            "FailedMessage" => "failedMessages/message-1",
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "A new kind of resource: say here what it is called, and add one at each site to AccessStudio where it is of a site."),
        };
    }
}
