using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>A key for one person or one device, for as long as it is wanted.</summary>
internal static class MakeAccessKey
{
    private const int SitesMax = 50;

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(CreateAccessKeyRequest request)
    {
        var key = request.AccessKey ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("access_key_id", request.AccessKeyId)
            .Text("access_key.display_name", key.DisplayName, 80)
            .Require(key.Role is >= Role.Device and <= Role.Owner, "access_key.role", "must be one from ROLE_DEVICE to ROLE_OWNER.", $"{key.Role}")
            .Require(key.Sites.Count <= SitesMax, "access_key.sites", $"must be no more than {SitesMax}.", $"{key.Sites.Count}");
        checks.OptionalTime("access_key.expire_time", key.ExpireTime);
        for (var i = 0; i < key.Sites.Count; i++) checks.Name($"access_key.sites[{i}]", key.Sites[i], ResourceKind.Site, request.Parent);
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">FIELD_INVALID where it would be refused from the start.</exception>
    public static AccessKeyRecord Decide(string name, AccessKey key, byte[] keySha256, long nowMs)
    {
        if (key.ExpireTime.ToUnixMsOrNull() is { } expireMs && expireMs <= nowMs)
            throw Refusal.Invalid("access_key.expire_time", Instants.Utc(expireMs), "must lie ahead. Leave it empty for a key that stays until it is revoked.");
        return new()
        {
            Name = name,
            Studio = ResourceNames.StudioOf(name),
            DisplayName = key.DisplayName,
            Role = key.Role,
            Sites = string.Join(' ', key.Sites.Distinct().Order(StringComparer.Ordinal)),
            KeySha256 = keySha256,
            CreateMs = nowMs,
            ExpireMs = key.ExpireTime.ToUnixMsOrNull(),
        };
    }
}
