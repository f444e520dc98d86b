using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>gRPC of access.proto.</summary>
public sealed class AccessService(WriteRequests writes, StudioReads reads, KeyRing keys) : V1.AccessService.AccessServiceBase
{
    public override Task<Identity> GetIdentity(GetIdentityRequest request, ServerCallContext context)
    {
        var caller = Caller.Of(context.GetHttpContext())!;
        return Task.FromResult(new Identity
        {
            Key = caller.Key, DisplayName = caller.DisplayName, Role = caller.Role, Studio = caller.Studio, Sites = { caller.Sites },
        });
    }

    public override async Task<AccessKey> CreateAccessKey(CreateAccessKeyRequest request, ServerCallContext context)
    {
        MakeAccessKey.CheckShape(request);
        string? secret = null;
        var key = await writes.RunAsync(request, tx =>
        {
            CheckPlaces(tx, request);
            secret = AccessKeyStore.NewSecret();
            var name = ResourceKind.AccessKey.Under(request.Parent, ResourceKind.AccessKey.IdOrNew(request.AccessKeyId));
            var record = MakeAccessKey.Decide(name, request.AccessKey, Secrets.Hash(secret), tx.Now.ToUnixMs());
            AccessKeyStore.Insert(tx, record);
            return record.ToProto();
        }, context.CancellationToken);
        // Not inside: the answer is kept for a repeat, and the secret is kept nowhere.
        if (secret is not null) key.Secret = secret;
        return key;
    }

    public override Task<AccessKey> GetAccessKey(GetAccessKeyRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.AccessKey).ThrowIfAny();
        return Task.FromResult(reads.Read(session => AccessKeyStore.Get(session, request.Name).ToProto()));
    }

    public override Task<ListAccessKeysResponse> ListAccessKeys(ListAccessKeysRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListAccessKeys), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            if (!AccessKeyStore.HasStudio(session, request.Parent)) throw ResourceKind.Studio.NotFound(request.Parent);
            var (all, next) = page.Cut(AccessKeyStore.List(session, request.Parent, page), key => key.Name);
            return new ListAccessKeysResponse { AccessKeys = { all.Select(key => key.ToProto()) }, NextPageToken = next };
        }));
    }

    public override async Task<AccessKey> RevokeAccessKey(RevokeAccessKeyRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.AccessKey).ThrowIfAny();
        byte[]? sha256 = null;
        var key = await writes.RunAsync(request, tx =>
        {
            AccessKeyStore.Revoke(tx, request.Name, tx.Now.ToUnixMs());
            var revoked = AccessKeyStore.Get(tx, request.Name);
            sha256 = revoked.KeySha256;
            return revoked.ToProto();
        }, context.CancellationToken);
        if (sha256 is not null) keys.Forget(sha256);
        return key;
    }

    private static void CheckPlaces(StudioSession session, CreateAccessKeyRequest request)
    {
        if (!AccessKeyStore.HasStudio(session, request.Parent)) throw ResourceKind.Studio.NotFound(request.Parent);
        if (request.AccessKey.Sites.FirstOrDefault(site => !AccessKeyStore.HasSite(session, site)) is { } missing)
            throw ResourceKind.Site.NotFound(missing);
    }
}
