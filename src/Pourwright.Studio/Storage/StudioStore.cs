namespace Pourwright.Studio.Storage;

/// <summary>Where the studio's records are: a SQLite file that one node has to itself, or a PostgreSQL database that several nodes share.</summary>
/// <remarks>
/// What sessions and slices say in SQL is one text for both. It keeps to what both understand: integers are 64 bits, a truth is 0 or 1
/// and compared as such (`@isDone = 1`), text is ordered by its bytes, a sum of integers is `CAST(sum(x) AS BIGINT)`, and what may be
/// null is ordered `NULLS FIRST`. One statement a text.
/// </remarks>
public abstract class StudioStore : IDisposable
{
    /// <summary>What a log calls it: a file, or a server with its database; never a password.</summary>
    public abstract string Place { get; }

    /// <summary>Readers kept open for the next read, beyond what the store itself keeps.</summary>
    internal abstract int IdleReadersMost { get; }

    /// <summary>Brings the store up to date: each script of Storage/Migrations once, in the order of their names, each in a transaction.</summary>
    /// <exception cref="InvalidOperationException">A script failed; it was rolled back, those before it stay.</exception>
    public abstract void Migrate();

    /// <summary>The connection that writes. One a node: the writer holds it.</summary>
    internal abstract IStudioConnection ConnectWriter();

    /// <summary>A connection that refuses to write.</summary>
    internal abstract IStudioConnection ConnectReader();

    /// <summary>Closes what the store keeps open.</summary>
    public void Dispose()
    {
        Dispose(true);
        GC.SuppressFinalize(this);
    }

    /// <summary>Closes what the store keeps open.</summary>
    protected virtual void Dispose(bool disposing) { }
}
