namespace Pourwright.Host.Tls;

/// <summary>How a node is reached by TLS, section `Tls`: `--Tls:Certificate=node.pem`, `--Tls:Key=node.key`. Without a certificate it listens without.</summary>
public sealed record TlsSettings
{
    /// <summary>PEM file of the certificate, then those between it and its authority. A renewed file is taken within a second, without a restart.</summary>
    public string Certificate { get; init; } = "";

    /// <summary>PEM file of its private key.</summary>
    public string Key { get; init; } = "";

    /// <summary>PEM file of the authorities whose clients may connect; where it is set, nobody else may. Empty: no client is asked for a certificate.</summary>
    public string ClientAuthority { get; init; } = "";

    public bool IsOn => Certificate.Length > 0;
}
