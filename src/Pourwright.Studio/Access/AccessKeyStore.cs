using System.Buffers.Text;
using System.Security.Cryptography;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>SQL of keys.</summary>
internal static class AccessKeyStore
{
    private const string Columns =
        "SELECT name, studio, display_name, role, sites, key_sha256, create_ms, expire_ms, revoke_ms FROM access_keys";

    /// <summary>A new secret of <see cref="Secrets.KeyBytes"/> behind its prefix, in letters that an address takes as they are.</summary>
    public static string NewSecret(string prefix = Secrets.KeyPrefix) => prefix + Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(Secrets.KeyBytes));

    /// <summary>Whatever a secret opens: a key of the house, or a student's link, which is a key of its studio that may next to nothing.</summary>
    public static AccessKeyRecord? FindByHash(StudioSession session, byte[] keySha256) => session.Find<AccessKeyRecord>(
        $"""
        {Columns} WHERE key_sha256 = @keySha256
         UNION ALL
        SELECT name, studio, @display, CAST(@student AS BIGINT), '', link_sha256, create_ms, expire_ms, revoke_ms FROM student_links WHERE link_sha256 = @keySha256
        """,
        new { keySha256, student = (long)Role.Student, display = "Student" });

    /// <exception cref="Refusals.Refusal">ACCESS_KEY_NOT_FOUND.</exception>
    public static AccessKeyRecord Get(StudioSession session, string name) =>
        Find(session, name) ?? throw ResourceKind.AccessKey.NotFound(name);

    public static IReadOnlyList<AccessKeyRecord> List(StudioSession session, string studio, PageRequest page) =>
        session.Query<AccessKeyRecord>(
            $"{Columns} WHERE studio = @studio AND name > @after ORDER BY name LIMIT @limit",
            new { studio, after = page.AfterText, limit = page.Limit });

    /// <exception cref="Refusals.Refusal">ACCESS_KEY_EXISTS.</exception>
    public static void Insert(StudioTransaction tx, AccessKeyRecord key)
    {
        if (Find(tx, key.Name) is not null) throw ResourceKind.AccessKey.AlreadyExists(key.Name);
        tx.Execute(
            """
            INSERT INTO access_keys (name, studio, display_name, role, sites, key_sha256, create_ms, expire_ms)
            VALUES (@Name, @Studio, @DisplayName, @Role, @Sites, @KeySha256, @CreateMs, @ExpireMs)
            """,
            new { key.Name, key.Studio, key.DisplayName, Role = (int)key.Role, key.Sites, key.KeySha256, key.CreateMs, key.ExpireMs });
    }

    public static void Revoke(StudioTransaction tx, string name, long revokeMs) =>
        tx.Execute("UPDATE access_keys SET revoke_ms = @revokeMs WHERE name = @name AND revoke_ms IS NULL", new { name, revokeMs });

    /// <summary>Whether anybody can call at all.</summary>
    public static bool HasAny(StudioSession session) => session.Scalar<long>("SELECT count(*) FROM access_keys WHERE revoke_ms IS NULL") > 0;

    /// <summary>Revokes every key that is good for all studios.</summary>
    public static void RevokeNodeKeys(StudioTransaction tx, long revokeMs) =>
        tx.Execute("UPDATE access_keys SET revoke_ms = @revokeMs WHERE studio IS NULL AND revoke_ms IS NULL", new { revokeMs });

    /// <summary>Made with the first key of the node, so that every node of a store reads the same.</summary>
    public static byte[] PageSecret(StudioSession session) => session.Scalar<byte[]>("SELECT secret FROM node_secrets WHERE name = 'pages'");

    public static void MakePageSecret(StudioTransaction tx) => tx.Execute(
        "INSERT INTO node_secrets (name, secret) VALUES ('pages', @secret) ON CONFLICT (name) DO NOTHING",
        new { secret = RandomNumberGenerator.GetBytes(Secrets.KeyBytes) });

    /// <summary>The names of all studios of the node.</summary>
    public static IReadOnlyList<string> Studios(StudioSession session) => session.Query<string>("SELECT name FROM studios ORDER BY name");

    public static bool HasStudio(StudioSession session, string name) => session.Scalar<long>("SELECT count(*) FROM studios WHERE name = @name", new { name }) > 0;

    public static bool HasSite(StudioSession session, string name) => session.Scalar<long>("SELECT count(*) FROM sites WHERE name = @name", new { name }) > 0;

    private static AccessKeyRecord? Find(StudioSession session, string name) =>
        session.Find<AccessKeyRecord>($"{Columns} WHERE name = @name", new { name });
}
