using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Google.Rpc;
using Grpc.Core;
using Pourwright.Cure;

namespace Pourwright.Studio.Refusals;

/// <summary>One field that breaks its rule: where, why, and the value as sent.</summary>
public sealed record FieldViolation(string Field, string Text, string? Value = null);

/// <summary>A call that is refused: what is wrong, by which rule, and the way out, for people (<see cref="Exception.Message"/>) and for programs.</summary>
/// <remarks>Every value in the message is also in <see cref="Facts"/>. At most one detail of each type goes over the wire.</remarks>
[SuppressMessage("Naming", "CA1710", Justification = "People say refusal; throw Refusal.NotFound(...) reads as it is meant.")]
public sealed class Refusal : Exception
{
    /// <summary>The `domain` of every ErrorInfo.</summary>
    public const string Domain = "pourwright";

    /// <summary>How long a client waits before it asks an unavailable store again. Common practice, no source.</summary>
    private static readonly TimeSpan RetryDelay = TimeSpan.FromSeconds(1);

    /// <summary>Common practice, no source: together they stay below a third of what headers hold.</summary>
    private const int FieldsMax = 20, ValueLengthMax = 200, TextLengthMax = 300;

    private Refusal(StatusCode code, string reason, string text, Exception? cause = null) : base(text, cause) =>
        (Code, Reason) = (code, reason);

    public StatusCode Code { get; }

    /// <summary>One of <see cref="Reasons"/>.</summary>
    public string Reason { get; }

    /// <summary>The values the message speaks of, by name; ErrorInfo.metadata on the wire.</summary>
    public IReadOnlyDictionary<string, string> Facts { get; private init; } = new Dictionary<string, string>();

    /// <summary>BadRequest on the wire.</summary>
    public IReadOnlyList<FieldViolation> Fields { get; private init; } = [];

    /// <summary>ResourceInfo on the wire: the type ("Lot"; there "pourwright/Lot") and name of the thing missing or taken.</summary>
    public (string Type, string Name)? Resource { get; private init; }

    /// <summary>RetryInfo on the wire; only where a client may try again by itself.</summary>
    public TimeSpan? RetryAfter { get; private init; }

    /// <summary>Refused for who calls, before anything of the request was looked at.</summary>
    public bool IsDenial { get; private init; }

    /// <summary>NOT_FOUND: <paramref name="resourceType"/> such as "Lot", <paramref name="name"/> such as "studios/x/lots/y".</summary>
    public static Refusal NotFound(string reason, string resourceType, string name)
    {
        // What begins as a name does may be as long as a request.
        var shown = Beginning(name);
        return new(StatusCode.NotFound, reason, $"{resourceType} '{shown}' does not exist. Check the name, or list its parent.")
        {
            Resource = (resourceType, shown),
            Facts = FactsOf(("resource_type", resourceType), ("name", shown)),
        };
    }

    /// <summary>ALREADY_EXISTS.</summary>
    public static Refusal AlreadyExists(string reason, string resourceType, string name) =>
        new(StatusCode.AlreadyExists, reason, $"{resourceType} '{name}' exists already. Choose another id, or leave it empty to be given one.")
        {
            Resource = (resourceType, name),
            Facts = FactsOf(("resource_type", resourceType), ("name", name)),
        };

    /// <summary>FAILED_PRECONDITION. <paramref name="text"/> gives the value, the rule and the way out; <paramref name="facts"/> its values, the thing concerned first.</summary>
    public static Refusal Precondition(string reason, string text, params (string Key, string Value)[] facts) =>
        new(StatusCode.FailedPrecondition, reason, text) { Facts = FactsOf(facts) };

    /// <summary>INVALID_ARGUMENT, FIELD_INVALID, one field. For several use <see cref="FieldChecks"/>.</summary>
    public static Refusal Invalid(string field, string? value, string text) => Invalid([new FieldViolation(field, text, value)]);

    /// <summary>INVALID_ARGUMENT, FIELD_INVALID, all the fields that break a rule.</summary>
    public static Refusal Invalid(IReadOnlyList<FieldViolation> fields) => InvalidFields(Reasons.FieldInvalid, fields);

    /// <summary>INVALID_ARGUMENT with a reason of its own, such as TIME_IN_FUTURE, for one field.</summary>
    public static Refusal InvalidField(string reason, string field, string? value, string text) =>
        InvalidFields(reason, [new FieldViolation(field, text, value)]);

    /// <summary>INVALID_ARGUMENT with a reason of its own for fields that are each in order and cannot stand together.</summary>
    public static Refusal Together(string reason, string text, IReadOnlyList<FieldViolation> fields, params (string Key, string Value)[] facts) =>
        new(StatusCode.InvalidArgument, reason, text) { Fields = fields, Facts = FactsOf(facts) };

    /// <summary>INVALID_ARGUMENT: the id came before with another body.</summary>
    public static Refusal RequestIdReused(string requestId) => InvalidField(
        Reasons.RequestIdReused, "request_id", requestId,
        "was used for another request of this kind. Send a fresh id for a new request, or the first body for a repeat.");

    /// <summary>INVALID_ARGUMENT: the token is damaged or of another list.</summary>
    public static Refusal PageTokenInvalid(string token) => InvalidField(
        Reasons.PageTokenInvalid, "page_token", token,
        "does not belong to this list. Start again without it, and keep parent, filter and order as they were.");

    /// <summary>INVALID_ARGUMENT: the bytes of the call are no message of its method.</summary>
    public static Refusal MessageUnreadable() =>
        new(StatusCode.InvalidArgument, Reasons.MessageUnreadable, "The bytes of this call are not a message of its method; nothing was done. Generate the client from the protos of this version.");

    /// <summary>ABORTED: the resource has changed since it was read.</summary>
    public static Refusal EtagStale(string name, string sent, string current) =>
        new(StatusCode.Aborted, Reasons.EtagStale, $"'{name}' has changed: etag '{Beginning(sent)}' was sent, '{current}' is current. Get it again and repeat the change.")
        {
            Facts = FactsOf(("name", name), ("sent", Beginning(sent)), ("current", current)),
        };

    /// <summary>FAILED_PRECONDITION: the cure model was asked outside its range. The numbers are invariant, in the unit given.</summary>
    public static Refusal CureModelRange(CureRangeException range) => Precondition(
        Reasons.CureModelRange, range.Message,
        ("quantity", range.Quantity),
        ("value", Shown(range.Value)),
        ("lowest", Shown(range.Lowest)),
        ("highest", Shown(range.Highest)),
        ("unit", range.Unit));

    /// <summary>UNAUTHENTICATED: without a key, or with one that is not good; the same words for each.</summary>
    public static Refusal KeyNotAccepted() =>
        new(StatusCode.Unauthenticated, Reasons.KeyNotAccepted, "This call came without a key, or with one that is unknown, expired or revoked. Send `authorization: Bearer KEY`; an owner of the studio makes keys.") { IsDenial = true };

    /// <summary>PERMISSION_DENIED: the role of the caller is not enough, whatever the call names.</summary>
    public static Refusal NotAllowed(string text, params (string Key, string Value)[] facts) =>
        new(StatusCode.PermissionDenied, Reasons.NotAllowed, text) { Facts = FactsOf(facts), IsDenial = true };

    /// <summary>RESOURCE_EXHAUSTED: more bytes than a message may have.</summary>
    public static Refusal MessageTooLarge(int bytesMax) =>
        new(StatusCode.ResourceExhausted, Reasons.MessageTooLarge, $"This message is larger than {Shown(bytesMax)} bytes, the most that the node takes. Send less at a time.")
        {
            Facts = FactsOf(("bytes_max", Shown(bytesMax))),
        };

    /// <summary>RESOURCE_EXHAUSTED: more at once, or in a while, than one caller is given.</summary>
    public static Refusal TooMany(string reason, string text, TimeSpan retryAfter, params (string Key, string Value)[] facts) =>
        new(StatusCode.ResourceExhausted, reason, text) { RetryAfter = retryAfter, Facts = FactsOf(facts) };

    /// <summary>DEADLINE_EXCEEDED: the call ran as long as any may.</summary>
    public static Refusal CallTooLong(TimeSpan most) =>
        new(StatusCode.DeadlineExceeded, Reasons.CallTooLong, $"The call ran for {Shown(most.TotalSeconds)} s, the longest that the node lets any; whether it was kept is not known. Ask for less, or repeat it with the same request_id.")
        {
            Facts = FactsOf(("seconds_max", Shown(most.TotalSeconds))),
        };

    /// <summary>RESOURCE_EXHAUSTED: no room to write; nothing of the request was kept.</summary>
    public static Refusal StoreFull(Exception? cause = null) =>
        new(StatusCode.ResourceExhausted, Reasons.StoreFull, "The disk of the store is full; nothing of this request was kept. Free space on the node, then send it again.", cause);

    /// <summary>UNAVAILABLE: the store takes no writes now.</summary>
    public static Refusal StoreUnavailable(Exception? cause = null) =>
        new(StatusCode.Unavailable, Reasons.StoreUnavailable, "The store takes no writes now; whether this request was kept is not known. Send it again with the same request_id.", cause)
        {
            RetryAfter = RetryDelay,
        };

    /// <summary>The same refusal to the letter, of a thing that is not the caller's to see.</summary>
    public Refusal AsDenial() => new(Code, Reason, Message, InnerException) { Facts = Facts, Fields = Fields, Resource = Resource, RetryAfter = RetryAfter, IsDenial = true };

    /// <summary>The same refusal of one message of a client's stream, counted from 0: its text and facts say which.</summary>
    public Refusal OfMessage(int index) => new(Code, Reason, $"Message {index} of the stream: {Message}", InnerException)
    {
        Facts = new Dictionary<string, string>(Facts) { ["message_index"] = $"{index}" },
        Fields = Fields,
        Resource = Resource,
        RetryAfter = RetryAfter,
    };

    /// <summary>The refusal as gRPC sends it: google.rpc.Status with ErrorInfo and what else applies.</summary>
    public RpcException ToRpcException() => ToStatus().ToRpcException();

    private Google.Rpc.Status ToStatus()
    {
        var status = new Google.Rpc.Status { Code = (int)Code, Message = Message };
        status.Details.Add(Any.Pack(new ErrorInfo { Domain = Domain, Reason = Reason, Metadata = { Facts.ToDictionary() } }));
        if (Fields.Count > 0) status.Details.Add(Any.Pack(BadRequestDetail()));
        if (Resource is var (type, name)) status.Details.Add(Any.Pack(new ResourceInfo { ResourceType = $"{Domain}/{type}", ResourceName = name, Description = Message }));
        if (Code == StatusCode.FailedPrecondition) status.Details.Add(Any.Pack(PreconditionDetail()));
        if (RetryAfter is { } delay) status.Details.Add(Any.Pack(new RetryInfo { RetryDelay = Duration.FromTimeSpan(delay) }));
        return status;
    }

    private BadRequest BadRequestDetail() => new()
    {
        FieldViolations = { Fields.Select(f => new BadRequest.Types.FieldViolation { Field = f.Field, Description = f.Text, Reason = Reason }) },
    };

    private PreconditionFailure PreconditionDetail() => new()
    {
        Violations = { new PreconditionFailure.Types.Violation { Type = Reason, Subject = Facts.Values.FirstOrDefault() ?? "", Description = Message } },
    };

    /// <summary>A refusal travels in headers, of which clients take some 64 kB: the first fields are told, and the beginning of what stood in them and of their rules, which may name a parent.</summary>
    private static Refusal InvalidFields(string reason, IReadOnlyList<FieldViolation> all)
    {
        FieldViolation[] fields = [.. all.Take(FieldsMax).Select(f => f with { Text = Beginning(f.Text, TextLengthMax), Value = f.Value is { } value ? Beginning(value) : null })];
        var more = all.Count > FieldsMax ? $" And {all.Count - FieldsMax} more." : "";
        return new(StatusCode.InvalidArgument, reason, string.Join(" ", fields.Select(Sentence)) + more)
        {
            Fields = fields,
            Facts = FactsOf([.. fields.DistinctBy(f => f.Field).Select(f => (MetadataKey(f.Field), f.Value ?? ""))]),
        };
    }

    private static string Beginning(string value, int lengthMax = ValueLengthMax) => value.Length > lengthMax ? $"{value[..lengthMax]}…" : value;

    private static string Shown(double value) => value.ToString(CultureInfo.InvariantCulture);

    private static string Sentence(FieldViolation f) => f.Value is null ? $"{f.Field} {f.Text}" : $"{f.Field} '{f.Value}' {f.Text}";

    /// <summary>ErrorInfo allows letters, digits, - and _ in keys: `draws[0].mass_mg` becomes `draws_0_mass_mg`.</summary>
    private static string MetadataKey(string field) =>
        string.Concat(field.Replace("].", "_", StringComparison.Ordinal).Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' ? c : '_')).TrimEnd('_');

    private static Dictionary<string, string> FactsOf(params ReadOnlySpan<(string Key, string Value)> facts)
    {
        var all = new Dictionary<string, string>(facts.Length);
        foreach (var (key, value) in facts) all[key] = value;
        return all;
    }
}
