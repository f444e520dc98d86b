using System.Collections.Concurrent;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Access;

/// <summary>The keys that were shown to this node of late.</summary>
/// <remarks>A key is read from the store again when it was not looked at for <see cref="Freshness"/>, so that one which another node revoked is refused by then; one revoked here is refused at once.</remarks>
public sealed class KeyRing(StudioReads reads, TimeProvider time)
{
    /// <summary>Half of what an open stream may outlive its key, less a second for a busy node.</summary>
    public static readonly TimeSpan Freshness = TimeSpan.FromSeconds(2);

    /// <summary>Longer than any key: what is longer is not hashed.</summary>
    private const int SecretLengthMax = 200;

    private readonly ConcurrentDictionary<string, Entry> _entries = new();

    /// <summary>The key of a secret; null where there is none, or it is expired or revoked.</summary>
    public HeldKey? Find(string secret) =>
        secret.Length is 0 or > SecretLengthMax ? null : FindHashed(Convert.ToHexStringLower(Secrets.Hash(secret)));

    /// <summary>Whether a key is still good.</summary>
    public bool IsGood(HeldKey key) => key.Sha256 is { } sha256 ? FindHashed(sha256) is not null : key.ExpireMs > time.GetUtcNow().ToUnixMs();

    /// <summary>Refuses a key from now on and ends its streams.</summary>
    public void Forget(byte[] sha256)
    {
        if (_entries.TryRemove(Convert.ToHexStringLower(sha256), out var entry)) entry.Dispose();
    }

    private HeldKey? FindHashed(string sha256)
    {
        if (!_entries.TryGetValue(sha256, out var entry) || time.GetElapsedTime(entry.ReadAt) >= Freshness) entry = ReadAnew(sha256);
        return entry is null || entry.Key.ExpireMs <= time.GetUtcNow().ToUnixMs() ? null : entry.Key;
    }

    private Entry? ReadAnew(string sha256)
    {
        var record = reads.Read(session => AccessKeyStore.FindByHash(session, Convert.FromHexString(sha256)));
        if (record is null || record.RevokeMs is not null)
        {
            if (_entries.TryRemove(sha256, out var gone)) gone.Dispose();
            return null;
        }
        var entry = _entries.GetOrAdd(sha256, _ => new(record, sha256));
        entry.ReadAt = time.GetTimestamp();
        return entry;
    }

    private sealed class Entry : IDisposable
    {
        private readonly CancellationTokenSource _ending = new();

        public Entry(AccessKeyRecord record, string sha256) => Key = new(record.ToCaller(), sha256, record.ExpireMs, _ending.Token);

        public HeldKey Key { get; }

        public long ReadAt { get; set; }

        /// <summary>Ends what runs under the key.</summary>
        public void Dispose()
        {
            _ending.Cancel();
            _ending.Dispose();
        }
    }
}
