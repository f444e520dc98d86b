using Microsoft.Data.Sqlite;
using Pourwright.Studio.Refusals;
using static SQLitePCL.raw;

namespace Pourwright.Studio.Storage;

/// <summary>What a SQLite error means for the write, its batch and the node. Codes: the SQLite documentation, "Result and Error Codes".</summary>
public static class StoreErrors
{
    /// <summary>Growing the index of the log failed: on a full disk this comes before SQLITE_FULL.</summary>
    private const int SharedMemorySize = SQLITE_IOERR_SHMSIZE;

    /// <summary>The refusal to answer with; null when the error is not the store's.</summary>
    public static Refusal? ToRefusal(Exception e) => e switch
    {
        SqliteException s when IsFull(s) => Refusal.StoreFull(s),
        SqliteException { SqliteErrorCode: SQLITE_BUSY or SQLITE_LOCKED } s => Refusal.StoreUnavailable(s),
        SqliteException s when IsUntrusted(s) => Refusal.StoreUnavailable(s),
        _ => null,
    };

    /// <summary>SQLite may have rolled back the whole transaction ("Response To Errors Within A Transaction"), so no write of the batch can be kept.</summary>
    internal static bool EndsTransaction(Exception e) =>
        e is SqliteException s && (IsFull(s) || IsUntrusted(s) || s.SqliteErrorCode is SQLITE_BUSY or SQLITE_NOMEM or SQLITE_INTERRUPT);

    /// <summary>The same commit may succeed later, without a restart.</summary>
    internal static bool MayPass(Exception e) => e is not SqliteException s || IsFull(s) || !IsUntrusted(s);

    private static bool IsFull(SqliteException e) =>
        e.SqliteErrorCode == SQLITE_FULL || e.SqliteExtendedErrorCode == SharedMemorySize;

    private static bool IsUntrusted(SqliteException e) => e.SqliteErrorCode
        is SQLITE_IOERR or SQLITE_CORRUPT or SQLITE_NOTADB or SQLITE_CANTOPEN or SQLITE_READONLY or SQLITE_PROTOCOL;
}
