using System.Globalization;
using Pourwright.Evidence.Sealing;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Seals;

/// <summary>What is no more as it was recorded.</summary>
/// <param name="Chain">Empty where the seals themselves show it, or no chain is known.</param>
/// <param name="Position">The link that shows it; null where no one link does.</param>
public sealed record EvidenceFault(string Chain, long? Position, string Table, string Key, string Finding)
{
    /// <summary>One line: where, what, and what was found.</summary>
    public string ToText() => string.Join(' ', new[] { Chain, Position is { } position ? $"link {position}" : "", Table, Key }.Where(part => part.Length > 0)) + $": {Finding}";
}

/// <summary>How far a check has come, and the fault it is at.</summary>
public sealed record CheckStep(string Chain, long CheckedCount, long LinkCount, EvidenceFault? Fault);

/// <summary>Compares the evidence of one studio with its chains, these with its seals, and the seals with one that was kept elsewhere.</summary>
/// <remarks>All of it on one view of the file. Reads records where they stand; keeps their keys in memory, not the records.</remarks>
public sealed class EvidenceCheck(StudioSession session, string studio, Seal? kept)
{
    /// <summary>Links between two words of progress.</summary>
    private const int Stride = 1000;

    private readonly ChainedRecords _chained = new();
    private long _linkCount;
    private long _checkedCount;
    private long _faultCount;
    private int _chainCount;

    /// <summary>Goes through everything; the counts of <see cref="Summary"/> hold after the last step.</summary>
    public IEnumerable<CheckStep> Steps()
    {
        var chains = Chains();
        (_chainCount, _linkCount) = (chains.Count, CountLinks());
        var (heads, headFaults) = Heads();
        var headsOf = SealCheck.HeadsOf(heads, kept);
        foreach (var chain in chains)
        {
            yield return Step(chain);
            foreach (var fault in ChainFaults(chain, headsOf[chain]))
            {
                if (fault is not null) _faultCount++;
                yield return Step(chain, fault);
            }
        }
        foreach (var fault in headFaults.Concat(SealFaults(heads)).Concat(EvidenceTable.All.SelectMany(Unchained)).Concat(EvidenceTable.All.Where(table => table.Sealed.Count > 0).SelectMany(Unsealed)))
        {
            _faultCount++;
            yield return Step("", fault);
        }
        yield return Step("");
    }

    public CheckSummary Summary() => new()
    {
        FaultCount = _faultCount,
        ChainCount = _chainCount,
        LinkCount = _checkedCount,
        RecordCount = _chained.Count,
        SealCount = SealStore.GetSeals(session, studio).Count,
        KeptSealTime = kept?.SealTime,
        UnsealedCount = Math.Max(0, _checkedCount - (kept?.Heads.Sum(head => head.RowCount) ?? 0)),
        ErasedCount = session.Scalar<long>("SELECT count(*) FROM erasures WHERE studio = @studio", Range),
        AdoptedCount = session.Scalar<long>("SELECT coalesce(sum(row_count), 0) FROM chain_adopted"),
    };

    private CheckStep Step(string chain, EvidenceFault? fault = null) => new(chain, _checkedCount, _linkCount, fault);

    /// <summary>Those the studio records in, and those that the file or a seal knows besides.</summary>
    private IReadOnlyList<string> Chains() =>
    [
        .. SealStore.GetChains(session, studio)
            .Union(session.Query<string>($"SELECT DISTINCT site FROM chain_rows WHERE {OfStudio}", Range))
            .Union(session.Query<string>("SELECT DISTINCT site FROM sealed_heads WHERE studio = @studio", Range))
            .Union(kept?.Heads.Select(head => head.Site) ?? [])
            .Order(StringComparer.Ordinal),
    ];

    private const string OfStudio = "(site = @studio OR site >= @first AND site < @last)";

    // '0' follows '/' in ASCII: between the two lie all names below the studio.
    private object Range => new { studio, first = $"{studio}/", last = $"{studio}0" };

    private long CountLinks() => session.Scalar<long>($"SELECT count(*) FROM chain_rows WHERE {OfStudio}", Range);

    private IEnumerable<LinkRecord> Links(string chain) => session.Stream(
        "SELECT position, record_table, record_key, column_count, link FROM chain_rows WHERE site = @chain ORDER BY position", new { chain })
        .Select(row => new LinkRecord((long)row[0]!, (string)row[1]!, (string)row[2]!, (long)row[3]!, (string)row[4]!));

    /// <summary>Nothing in between: a word of progress.</summary>
    private IEnumerable<EvidenceFault?> ChainFaults(string chain, IEnumerable<SealedHead> heads)
    {
        var check = new ChainCheck(chain, heads);
        foreach (var link in Links(chain))
        {
            if (LinkFault(check, chain, link) is { } finding) yield return new(chain, link.Position, link.RecordTable, link.RecordKey, finding);
            if (++_checkedCount % Stride == 0) yield return null;
        }
        foreach (var fault in check.End()) yield return new(chain, fault.Position, "", "", fault.Finding);
    }

    private string? LinkFault(ChainCheck check, string chain, LinkRecord link)
    {
        var (rows, gone) = Records(link);
        var canonical = gone is null ? EvidenceRows.Canonical(EvidenceTable.Find(link.RecordTable)!, rows) : [];
        var digest = IsDigest(link.Link) ? Digest.FromHex(link.Link) : (Digest?)null;
        var fault = check.Next(new(chain, link.Position, canonical, digest ?? SiteChain.Start(chain)));
        return gone ?? (digest is null ? "Its link is no SHA-256 digest: it was overwritten." : fault?.Finding);
    }

    /// <summary>What a link stands for, or why it cannot be read.</summary>
    private (IReadOnlyList<object?[]> Rows, string? Gone) Records(LinkRecord link)
    {
        if (EvidenceTable.Find(link.RecordTable) is not { } table) return ([], $"\"{link.RecordTable}\" is no table of evidence: the link was changed.");
        if (link.ColumnCount < table.SortColumns.Count() || link.ColumnCount > table.Columns.Count)
            return ([], $"It covers {link.ColumnCount} columns, and {table.Name} has {table.Columns.Count} of evidence: the link was changed.");
        try
        {
            var rows = table.Load(session, link.RecordKey, (int)link.ColumnCount);
            if (rows.Count == 0) return ([], $"What it stands for is gone from {table.Name}: deleted, or given another name.");
            if (!_chained.Add(table, rows)) return ([], "What it stands for has a link already: one of the two was put in.");
            return table.NameOf(rows) == link.RecordKey ? (rows, null) : ([], $"Not all that it stands for is in {table.Name}: rows were deleted or moved.");
        }
        catch (FormatException e)
        {
            return ([], $"{e.Message} The link was changed.");
        }
    }

    private IEnumerable<EvidenceFault> Unchained(EvidenceTable table) => table.LoadAll(session, table.SortColumns)
        .Where(row => IsOurs(row[0]) && !_chained.Contains(table, row[1..]))
        .Select(row => new EvidenceFault(row[0] as string ?? "", null, table.Name, string.Join('@', row[1..]),
            $"It stands in {table.Name} and in no chain: it was put in behind the node's back, or its link was taken away."));

    /// <summary>Sealed texts that are neither as recorded nor as an erasure left them.</summary>
    private IEnumerable<EvidenceFault> Unsealed(EvidenceTable table)
    {
        var erased = Erased(table.Name);
        var columns = string.Join(", ", table.Sealed.SelectMany(column => (string[])[$"new.{column}", $"new.{column}_seal"]));
        var rows = session.Stream($"SELECT {table.Chain}, new.{table.Key[0]}, new.seal_salt, {columns} FROM {table.Name} AS new WHERE new.{table.Sealed[0]}_seal IS NOT NULL ORDER BY 2");
        foreach (var row in rows.Where(row => IsOurs(row[0])))
            foreach (var (index, column) in table.Sealed.Index())
            {
                var (key, text, seal) = (Convert.ToString(row[1], CultureInfo.InvariantCulture)!, row[3 + 2 * index] as string ?? "", row[4 + 2 * index] as string);
                if (row[2] is string salt ? SealedText.SealOf(salt, column, text) == seal : erased.GetValueOrDefault((key, column)) == SealedText.Sha256(text)) continue;
                yield return new(row[0] as string ?? "", null, table.Name, key, row[2] is string
                    ? $"Its {column} is not what was recorded: it, or its salt, was changed."
                    : $"Its {column} was taken away, and no erasure says so.");
            }
    }

    /// <summary>SHA-256 of what stands since an erasure, by key and column; the last one counts.</summary>
    private Dictionary<(string Key, string Column), string> Erased(string table)
    {
        Dictionary<(string, string), string> erased = [];
        foreach (var row in session.Stream("SELECT record_key, record_column, replacement_sha256 FROM erasures WHERE studio = @studio AND record_table = @table ORDER BY sequence", new { studio, table }))
            erased[((string)row[0]!, (string)row[1]!)] = (string)row[2]!;
        return erased;
    }

    /// <summary>A row whose site is not found is everybody's.</summary>
    private bool IsOurs(object? chain) => chain is not string name || name == studio || ResourceNames.IsUnder(name, studio);

    private (IReadOnlyList<SealedHead> Heads, IReadOnlyList<EvidenceFault> Faults) Heads()
    {
        var records = SealStore.GetHeads(session, studio);
        var sound = records.TakeWhile(head => IsDigest(head.Link)).Select(head => head.ToHead()).ToList();
        return (sound, sound.Count == records.Count ? [] : [SealFault($"Head {sound.Count} of the seals is no SHA-256 digest: it was overwritten.")]);
    }

    private IEnumerable<EvidenceFault> SealFaults(IReadOnlyList<SealedHead> heads)
    {
        var tree = new GrowingTree();
        var expectedFirst = 0L;
        foreach (var seal in SealStore.GetSeals(session, studio))
        {
            while (tree.LeafCount < Math.Min(seal.HeadCount, heads.Count)) tree.Add(heads[tree.LeafCount].Leaf());
            if (seal.FirstHead != expectedFirst || seal.HeadCount != tree.LeafCount || seal.Root != tree.Root.Hex
                || heads.Skip((int)seal.FirstHead).Take((int)(seal.HeadCount - seal.FirstHead)).Any(head => head.SealTime.ToUnixMs() != seal.SealMs))
                yield return SealFault($"{seal.Name} does not stand over the heads it was made of: it, or they, were changed.");
            expectedFirst = seal.HeadCount;
        }
        if (expectedFirst != heads.Count) yield return SealFault($"The seals stand over {expectedFirst} heads, and there are {heads.Count}.");
        foreach (var fault in kept is null ? [] : SealCheck.TreeFaults(heads, kept)) yield return SealFault(fault.Finding);
    }

    private static EvidenceFault SealFault(string finding) => new("", null, "", "", finding);

    private static bool IsDigest(string text) => text.Length == 64 && text.All(char.IsAsciiHexDigitLower);
}
