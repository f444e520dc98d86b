namespace Pourwright.Host;

/// <summary>Settings of one node, section `Node`: `--Node:GrpcPort=5080`, or `Node__GrpcPort=5080` in the environment.</summary>
public sealed class NodeSettings
{
    /// <summary>The database file, unless <see cref="StoreSettings.Postgres"/> names a server.</summary>
    public string Database { get; set; } = "pourwright.db";

    /// <summary>Loopback until told otherwise: keys go over plain HTTP here, and leave the machine through a proxy with TLS or not at all.</summary>
    public string ListenAddress { get; set; } = "127.0.0.1";

    /// <summary>Port of gRPC, HTTP/2 without TLS. 0 takes a free one.</summary>
    public int GrpcPort { get; set; } = 5080;

    /// <summary>Port of JSON and health, HTTP/1.1. 0 takes a free one.</summary>
    public int HttpPort { get; set; } = 5081;

    /// <summary>
    /// Networks in CIDR form of proxies on other machines whose `X-Forwarded-For` and `X-Forwarded-Proto` are believed: calls without a key are
    /// counted by the one, and cookies go over TLS alone where the other says `https`.
    /// </summary>
    public IReadOnlyList<string> Proxies { get; set; } = [];

    /// <summary>`api`, `worker`, `pages`, or several.</summary>
    public string Roles { get; set; } = "api,worker,pages";

    /// <summary>The gRPC address of the node that the pages show; this one where empty.</summary>
    public string PagesOf { get; set; } = "";

    public bool IsApi => HasRole("api");

    public bool IsPages => HasRole("pages");

    public bool IsWorker => HasRole("worker");

    private bool HasRole(string role) => Roles.Split(',', StringSplitOptions.TrimEntries).Contains(role);
}
