using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>Keys of whoever owns the node: good for every studio, made beside the node and never by a call.</summary>
public sealed class OwnerKeys(StudioWriter writer, StudioReads reads)
{
    private const string Parent = "accessKeys";

    /// <summary>Whether nobody can call yet.</summary>
    public bool IsFirstNeeded => reads.Read(session => !AccessKeyStore.HasAny(session));

    /// <summary>A new key; its secret is returned and kept nowhere.</summary>
    /// <param name="onlyOne">Revokes the owner's earlier keys, such as one that was lost.</param>
    public async Task<string> IssueAsync(bool onlyOne = false)
    {
        var secret = AccessKeyStore.NewSecret();
        await writer.WriteAsync(tx =>
        {
            if (onlyOne) AccessKeyStore.RevokeNodeKeys(tx, tx.Now.ToUnixMs());
            AccessKeyStore.MakePageSecret(tx);
            AccessKeyStore.Insert(tx, New(secret, tx.Now.ToUnixMs()));
        });
        return secret;
    }

    private static AccessKeyRecord New(string secret, long nowMs) => new()
    {
        Name = $"{Parent}/{ResourceNames.NewId("owner")}",
        Studio = null,
        DisplayName = "Owner of the node",
        Role = Role.Owner,
        Sites = "",
        KeySha256 = Secrets.Hash(secret),
        CreateMs = nowMs,
    };
}
