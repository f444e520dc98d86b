using Microsoft.Data.Sqlite;
using Npgsql;
using Pourwright.Studio.Refusals;
using static SQLitePCL.raw;

namespace Pourwright.Studio.Storage;

/// <summary>What an error of the store means for the write, its batch and the node.</summary>
/// <remarks>Codes: the SQLite documentation, "Result and Error Codes"; the PostgreSQL documentation, appendix A, "PostgreSQL Error Codes".</remarks>
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
        PostgresException { SqlState: PostgresErrorCodes.DiskFull } p => Refusal.StoreFull(p),
        NpgsqlException n when IsOfTheServer(n) => Refusal.StoreUnavailable(n),
        _ => null,
    };

    /// <summary>No write of the batch can be kept: SQLite may have rolled back the whole transaction ("Response To Errors Within A Transaction"), and a server that is gone has.</summary>
    internal static bool EndsTransaction(Exception e) => e switch
    {
        SqliteException s => IsFull(s) || IsUntrusted(s) || s.SqliteErrorCode is SQLITE_BUSY or SQLITE_NOMEM or SQLITE_INTERRUPT,
        NpgsqlException n => IsOfTheServer(n),
        _ => false,
    };

    /// <summary>The same commit may succeed later, without a restart. A server that could not flush ends by itself and recovers from its log, so its word can be trusted again.</summary>
    internal static bool MayPass(Exception e) => e is not SqliteException s || IsFull(s) || !IsUntrusted(s);

    private static bool IsFull(SqliteException e) =>
        e.SqliteErrorCode == SQLITE_FULL || e.SqliteExtendedErrorCode == SharedMemorySize;

    private static bool IsUntrusted(SqliteException e) => e.SqliteErrorCode
        is SQLITE_IOERR or SQLITE_CORRUPT or SQLITE_NOTADB or SQLITE_CANTOPEN or SQLITE_READONLY or SQLITE_PROTOCOL;

    /// <summary>The connection, the server or the machine under it is at fault, not the statement.</summary>
    private static bool IsOfTheServer(NpgsqlException e) =>
        e is not PostgresException { SqlState: var state } || state is PostgresErrorCodes.LockNotAvailable or PostgresErrorCodes.ReadOnlySqlTransaction
            || state[..2] is "08" or "40" or "53" or "57" or "58" or "XX";
}
