using System.Data;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Storage;

/// <summary>What sessions and the writer ask of a connection, whatever the store. Used by one thread at a time.</summary>
internal interface IStudioConnection : IDisposable
{
    /// <summary>The connection, told which text comes next.</summary>
    /// <param name="sql">As written, before lists in it are expanded.</param>
    /// <param name="mayWait">Nobody asks how many rows it changed: it may go to the store together with the next statement, and fail there.</param>
    IDbConnection Expecting(string sql, bool mayWait = false);

    /// <summary>Rows as records, read a few at a time; other statements may run in between.</summary>
    IEnumerable<T> Stream<T>(string sql, object? args);

    /// <summary>Rows as the store holds them: whole numbers, reals, texts, bytes, <see cref="DBNull"/>. Read a few at a time; other statements may run in between.</summary>
    IEnumerable<object?[]> Stream(string sql, object? args);

    /// <summary>Begins one consistent view.</summary>
    void BeginView();

    void EndView();

    /// <summary>Begins a commit of several writes; from here on nobody else writes, on this node or another.</summary>
    void BeginCommit();

    /// <summary>Begins one write of it.</summary>
    void BeginWrite();

    /// <summary>From now on <see cref="Complete"/> gives the new rows of these tables, whichever statement writes them, and nothing listed of them is changed or deleted.</summary>
    void Watch(IReadOnlyList<EvidenceTable> tables);

    /// <summary>All statements of the write have run; an error of one that waited is thrown here.</summary>
    /// <returns>Its new rows of watched tables: the place of the table among them, the chain, and the columns.</returns>
    IReadOnlyList<object?[]> Complete();

    void KeepWrite();

    void UndoWrite();

    /// <summary>All writes kept are on disk, or none is.</summary>
    void Commit();

    /// <summary>After a commit that failed: nothing of it is left, and another may begin.</summary>
    void RollBack();

    /// <summary>The last commit is done.</summary>
    void Finish();
}
