using System.Diagnostics;
using System.IO.MemoryMappedFiles;
using Pourwright.Testing;

namespace Pourwright.Faults.Crashes;

/// <summary>The disk under a node with a SQLite file, made to do what disks may do by native/faults.c, which is preloaded into the node.</summary>
internal sealed class FaultyDisk : IDisposable
{
    private const int SectorBytes = 512;

    private static readonly Lazy<string> Library = new(Compile);

    private readonly TestStore _store;
    private readonly string _kept;
    private readonly string _database;
    private readonly string _replies;
    private readonly MemoryMappedFile _file;
    private readonly MemoryMappedViewAccessor _switches;

    public FaultyDisk(TestStore store)
    {
        _store = store;
        _database = store.Address;
        _replies = Path.Combine(store.Folder, "replies");
        _kept = Directory.CreateDirectory(Path.Combine(store.Folder, "kept")).FullName;
        var shared = Path.Combine(store.Folder, "switches");
        _file = MemoryMappedFile.CreateFromFile(shared, FileMode.Create, null, sizeof(long) * (int)Switch.Count);
        _switches = _file.CreateViewAccessor();
        Variables = new Dictionary<string, string>
        {
            ["LD_PRELOAD"] = Library.Value,
            ["FAULTS_FILE"] = _database,
            ["FAULTS_KEPT"] = _kept,
            ["FAULTS_SWITCHES"] = shared,
        };
    }

    private enum Switch { Syncs, Writes, FailSyncAt, FullFrom, FullCount, LogNeverFlushed, Count }

    /// <summary>What preloads it into a node.</summary>
    private Dictionary<string, string> Variables { get; }

    /// <summary>Starts a node on it; what the store holds before that counts as flushed.</summary>
    public async Task<NodeProcess> StartNodeAsync(params string[] settings)
    {
        var node = await NodeProcess.PrepareAsync(_store, Variables, settings);
        KeepAsIs();
        await node.StartAgainAsync();
        return node;
    }

    /// <summary>Says of flushes of the log that they were done, and does none: what synchronous=NORMAL comes to between two checkpoints.</summary>
    /// <remarks>A disk that lies stands for the setting, so that nothing in a node can be set to lose a pour.</remarks>
    public void NeverFlushLog() => Set(Switch.LogNeverFlushed, 1);

    /// <summary>Watches what leaves through sockets: each `receipt-00000007` in a reply, and whether its bytes were flushed by then.</summary>
    public void WatchReplies() => Variables["FAULTS_REPLIES"] = _replies;

    /// <summary>Receipts in the order in which they left, and whether they were kept by then.</summary>
    public IReadOnlyList<(int Receipt, bool IsKept)> Replies() =>
        [.. File.ReadLines(_replies).Select(line => line.Split(' ')).Select(words => (int.Parse(words[0], null), words[1] == "kept"))];

    /// <summary>The n-th flush from now fails with EIO, and what it should have flushed is lost; later ones succeed.</summary>
    public void FailSync(int nth) => Set(Switch.FailSyncAt, Get(Switch.Syncs) + nth);

    /// <summary>It has failed by now.</summary>
    public bool HasFailedSync => Get(Switch.FailSyncAt) == 0;

    /// <summary>From the n-th write on there is no room, until <see cref="FreeUp"/>.</summary>
    public void FillUp(int nth)
    {
        Set(Switch.FullCount, long.MaxValue / 2);
        Set(Switch.FullFrom, Get(Switch.Writes) + nth);
    }

    public void FreeUp() => Set(Switch.FullFrom, 0);

    /// <summary>The node was killed; the power goes as well. What was flushed stays; of the rest a share of its sectors, drawn at random.</summary>
    public void CutPower(Random random)
    {
        var share = random.NextDouble();
        foreach (var path in Files) CutPower(path, Kept(path), share, random);
        File.Delete($"{_database}-shm");
    }

    /// <summary>The test has looked at the file, which folds the log into it: what is there now counts as flushed.</summary>
    public void KeepAsIs()
    {
        foreach (var path in Files)
            if (File.Exists(path)) File.Copy(path, Kept(path), overwrite: true);
            else File.Delete(Kept(path));
    }

    public void Dispose()
    {
        _switches.Dispose();
        _file.Dispose();
    }

    private string[] Files => [_database, $"{_database}-wal"];

    private string Kept(string path) => Path.Combine(_kept, Path.GetFileName(path));

    private static void CutPower(string path, string kept, double share, Random random)
    {
        if (!File.Exists(kept))
        {
            File.Delete(path);
            return;
        }
        var (flushed, written) = (File.ReadAllBytes(kept), File.ReadAllBytes(path));
        var survivors = Torn(flushed, written, share, random);
        File.WriteAllBytes(path, survivors);
        File.WriteAllBytes(kept, survivors);
    }

    private static byte[] Torn(byte[] flushed, byte[] written, double share, Random random)
    {
        List<int> reached = [.. Enumerable.Range(0, (written.Length + SectorBytes - 1) / SectorBytes).Select(sector => sector * SectorBytes)
            .Where(at => !Sector(flushed, at).SequenceEqual(Sector(written, at)) && random.NextDouble() < share)];
        var length = Math.Max(flushed.Length, reached.Count > 0 ? Math.Min(reached[^1] + SectorBytes, written.Length) : 0);
        var survivors = new byte[length];
        flushed.CopyTo(survivors, 0);
        foreach (var at in reached) Sector(written, at).CopyTo(survivors.AsSpan(at));
        return survivors;
    }

    private static ReadOnlySpan<byte> Sector(byte[] bytes, int at) =>
        at >= bytes.Length ? [] : bytes.AsSpan(at, Math.Min(SectorBytes, bytes.Length - at));

    private static string Compile()
    {
        var library = Path.Combine(Directory.CreateTempSubdirectory("pourwright-faults-").FullName, "faults.so");
        var source = Path.Combine(AppContext.BaseDirectory, "native", "faults.c");
        using var compiler = Process.Start(new ProcessStartInfo("gcc", ["-O2", "-Wall", "-shared", "-fPIC", "-o", library, source]) { RedirectStandardError = true })!;
        var errors = compiler.StandardError.ReadToEnd();
        compiler.WaitForExit();
        return compiler.ExitCode == 0 ? library : throw new InvalidOperationException(errors);
    }

    private long Get(Switch which) => _switches.ReadInt64(sizeof(long) * (int)which);

    private void Set(Switch which, long value) => _switches.Write(sizeof(long) * (int)which, value);
}
