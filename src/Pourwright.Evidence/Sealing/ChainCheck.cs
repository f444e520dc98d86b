namespace Pourwright.Evidence.Sealing;

/// <summary>Checks the chain of one site row after row, oldest first, and keeps none of them: a chain may be longer than memory.</summary>
/// <param name="heads">Heads of this site that were sealed, by whomever.</param>
public sealed class ChainCheck(string site, IEnumerable<SealedHead> heads)
{
    private readonly Queue<SealedHead> _ahead = new(heads.OrderBy(head => head.RowCount));
    private readonly List<SealFault> _sealFaults = [];
    private long _expected;
    private long _count;
    private long _sealedCount;
    private Digest _stored = SiteChain.Start(site);
    private Digest _computed = SiteChain.Start(site);

    /// <summary>What this row shows; null where it is as it was recorded.</summary>
    public SealFault? Next(ChainRow row)
    {
        CompareHeads();
        var fault = row.Position != _expected
            ? new SealFault(site, _expected, $"Row {row.Position} stands where row {_expected} belongs: rows were taken out, put in or moved.")
            : SiteChain.Link(_stored, row.Canonical) != row.Link
                ? new SealFault(site, row.Position, $"Row {row.Position} does not give its link {row.Link}: it, its place or the row before it was changed.")
                : null;
        (_expected, _count) = (row.Position + 1, _count + 1);
        (_stored, _computed) = (row.Link, SiteChain.Link(_computed, row.Canonical));
        return fault;
    }

    /// <summary>After the last row: what the heads show.</summary>
    public IReadOnlyList<SealFault> End()
    {
        CompareHeads();
        if (_ahead.LastOrDefault() is { } cut)
            _sealFaults.Add(new(site, _count, $"{cut.RowCount} rows were sealed on {cut.SealTime:O}, {_count} are left."));
        return _sealFaults;
    }

    /// <summary>Only the first head that is broken is told: those after it stand on the same rows.</summary>
    private void CompareHeads()
    {
        while (_ahead.TryPeek(out var head) && head.RowCount == _count)
        {
            _ahead.Dequeue();
            if (head.Link == _computed) _sealedCount = _count;
            else if (_sealFaults.Count == 0) _sealFaults.Add(Broken(head));
        }
    }

    private SealFault Broken(SealedHead head) => new(site, null,
        $"The first {head.RowCount} rows are not those that were sealed on {head.SealTime:O}."
            + (_sealedCount > 0 ? $" Its first {_sealedCount} are those of an earlier seal." : ""));
}
