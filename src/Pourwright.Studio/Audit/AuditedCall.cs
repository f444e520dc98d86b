using System.Net;
using System.Text.RegularExpressions;
using Google.Protobuf;
using Grpc.Core;
using Microsoft.AspNetCore.Http;
using Pourwright.Studio.Access;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Audit;

/// <summary>Who makes a call, and from where: enters what it writes.</summary>
internal sealed partial class AuditedCall(string method, Caller? caller, IPAddress? address) : CallAtHand
{
    private const int NamesMax = 20;

    public static AuditedCall Of(ServerCallContext context) => Of(context.GetHttpContext(), context.Method[(context.Method.LastIndexOf('/') + 1)..]);

    public static AuditedCall Of(HttpContext http, string method) => new(method, Caller.Of(http), http.Connection.RemoteIpAddress);

    /// <inheritdoc/>
    /// <remarks>What is of no studio, such as a message handed over again, is not entered.</remarks>
    public override void Wrote(StudioTransaction transaction, IMessage request, IMessage answer)
    {
        string[] written = (Text(answer, "name") ?? Text(answer, "pseudonym")) is { } name && NamesIn.IsName(name) ? [name] : [];
        // What was written comes first: it is what an entry is looked for by, and a request may name many things, or what there is not.
        IReadOnlyList<string> names = [.. written.Concat(NamesOf(request)).Distinct().Take(NamesMax)];
        if (StudioOf(names) is { } studio)
            AuditStore.Insert(transaction, Entry(studio, transaction.Now, AuditEntry.Types.Outcome.Done, "", names, request));
    }

    /// <summary>The entry of a call that was turned away; of every studio where neither key nor request names one.</summary>
    /// <param name="refusal">Why.</param>
    /// <param name="request">Null of a stream, and of one that was not read.</param>
    /// <param name="now">The instant of it.</param>
    public AuditRecord TurnedAway(Refusal refusal, IMessage? request, DateTimeOffset now)
    {
        IReadOnlyList<string> names = request is null ? [] : [.. NamesOf(request).Distinct().Take(NamesMax)];
        var outcome = refusal.IsDenial ? AuditEntry.Types.Outcome.Denied : AuditEntry.Types.Outcome.Refused;
        return Entry(StudioOf(names) ?? AuditRecord.EveryStudio, now, outcome, refusal.Reason, names, request);
    }

    private AuditRecord Entry(
        string studio, DateTimeOffset now, AuditEntry.Types.Outcome outcome, string reason, IReadOnlyList<string> names, IMessage? request) => new()
    {
        Studio = studio,
        EntryMs = now.ToUnixMs(),
        AccessKey = caller?.Key ?? "",
        Role = caller?.Role ?? Role.Unspecified,
        Method = method,
        Outcome = outcome,
        Reason = reason,
        Names = string.Join(' ', names),
        RequestId = request is not null && Text(request, "request_id") is { } id && Guid.TryParseExact(id, "D", out _) ? id : "",
        Address = ClientAddress.Kept(address),
        CallCount = 1,
    };

    private string? StudioOf(IReadOnlyList<string> names) =>
        caller is { IsOfEveryStudio: false } ? caller.Studio : names.Count > 0 ? ResourceNames.StudioOf(names[0]) : null;

    /// <summary>What is no name in the end, such as words that begin as one, stays out: it may be as long as a request.</summary>
    private static IEnumerable<string> NamesOf(IMessage request) => NamesIn.Message(request).Where(name => Name().IsMatch(name));

    private static string? Text(IMessage message, string field) => message.Descriptor.FindFieldByName(field)?.Accessor.GetValue(message) as string;

    [GeneratedRegex(@"^studios(/[A-Za-z0-9-]{1,63}){1,7}\z")]
    private static partial Regex Name();
}
