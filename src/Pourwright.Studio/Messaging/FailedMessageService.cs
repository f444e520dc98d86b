using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Messaging;

/// <summary>gRPC of failed_messages.proto.</summary>
public sealed class FailedMessageService(WriteRequests writes, StudioReads reads) : V1.FailedMessageService.FailedMessageServiceBase
{
    public override Task<ListFailedMessagesResponse> ListFailedMessages(ListFailedMessagesRequest request, ServerCallContext context)
    {
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListFailedMessages));
        var (messages, next) = page.Cut(reads.Read(session => FailedMessageStore.List(session, page)), message => message.Sequence);
        return Task.FromResult(new ListFailedMessagesResponse
        {
            FailedMessages = { messages.Select(message => message.ToProto()) },
            NextPageToken = next,
        });
    }

    public override Task<FailedMessage> ReplayFailedMessage(ReplayFailedMessageRequest request, ServerCallContext context)
    {
        new FieldChecks().Require(FailedMessageRow.IsName(request.Name), "name", "must be a name that ListFailedMessages gave.", request.Name).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var message = FailedMessageStore.Get(tx, request.Name);
            FailedMessageStore.Replay(tx, message);
            return (message with { Attempts = 0 }).ToProto();
        }, context.CancellationToken);
    }
}
