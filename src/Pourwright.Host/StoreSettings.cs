using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Postgres;
using Pourwright.Studio.Storage.Sqlite;

namespace Pourwright.Host;

/// <summary>Where the records are, section `Store`: `Store__Postgres="Host=db;Database=pourwright;Username=pourwright;Password=..."`.</summary>
public sealed class StoreSettings
{
    /// <summary>A connection string as Npgsql takes it. Empty: the SQLite file of the node.</summary>
    public string Postgres { get; set; } = "";

    /// <summary>The store that the settings name; nothing is opened yet.</summary>
    public static StudioStore Open(IConfiguration configuration)
    {
        var store = configuration.GetSection("Store").Get<StoreSettings>() ?? new();
        var node = configuration.GetSection("Node").Get<NodeSettings>() ?? new();
        return store.Postgres.Length > 0 ? new PostgresStore(store.Postgres) : new SqliteStore(node.Database);
    }

    /// <summary>What is written like `Host=...` is a connection string, all else a file.</summary>
    public static StudioStore At(string address) => address.Contains('=', StringComparison.Ordinal) ? new PostgresStore(address) : new SqliteStore(address);
}
