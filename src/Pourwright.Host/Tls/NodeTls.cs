using System.Net.Security;
using System.Security.Authentication;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.AspNetCore.Server.Kestrel.Https;

namespace Pourwright.Host.Tls;

/// <summary>TLS of a node's ports: its certificate to whoever connects, and where an authority is named, theirs to it.</summary>
internal sealed class NodeTls(TlsSettings tls, NodeCertificate certificate)
{
    /// <summary>For connecting, in the words of X.509 (RFC 5280, 4.2.1.12: id-kp-clientAuth).</summary>
    private static readonly Oid ClientUse = new("1.3.6.1.5.5.7.3.2");

    private readonly Lazy<X509Certificate2Collection> _authorities = new(() =>
    {
        var authorities = new X509Certificate2Collection();
        authorities.ImportFromPemFile(tls.ClientAuthority);
        return authorities.Count > 0 ? authorities : throw new InvalidOperationException($"{tls.ClientAuthority} holds no certificate. It is a PEM file of those whose clients may connect.");
    });

    private bool AsksClients => tls.ClientAuthority.Length > 0;

    /// <summary>Files that cannot be used stop the node at its start, not its first client.</summary>
    /// <exception cref="InvalidOperationException">What the files hold is of no use.</exception>
    public void Check()
    {
        if (tls.IsOn) _ = certificate.Current;
        if (AsksClients) _ = _authorities.Value;
        if (AsksClients && !tls.IsOn) throw new InvalidOperationException("Tls:ClientAuthority is set, and no certificate of the node. Set Tls:Certificate and Tls:Key as well.");
    }

    public void Use(ListenOptions listen, HttpProtocols protocols)
    {
        listen.Protocols = protocols;
        if (tls.IsOn) listen.UseHttps(new TlsHandshakeCallbackOptions { OnConnection = _ => ValueTask.FromResult(Options()) });
    }

    /// <summary>Connections of this machine's own clients; where clients must show a certificate, they show that of the node.</summary>
    /// <param name="isThisNode">It is known by its certificate then, since loopback stands in none.</param>
    public SocketsHttpHandler OwnClient(bool isThisNode)
    {
        var handler = new SocketsHttpHandler { EnableMultipleHttp2Connections = true, UseProxy = false };
        if (tls.IsOn && isThisNode) handler.SslOptions.RemoteCertificateValidationCallback = (_, shown, _, _) => certificate.IsShown(shown);
        if (AsksClients) handler.SslOptions.LocalCertificateSelectionCallback = (_, _, _, _, _) => certificate.Current.Certificate;
        return handler;
    }

    private SslServerAuthenticationOptions Options() => new()
    {
        ServerCertificateContext = certificate.Current.Context,
        EnabledSslProtocols = SslProtocols.Tls12 | SslProtocols.Tls13,
        ClientCertificateRequired = AsksClients,
        RemoteCertificateValidationCallback = AsksClients ? static (_, shown, _, errors) => shown is not null && errors == SslPolicyErrors.None : null,
        CertificateChainPolicy = AsksClients ? ClientPolicy() : null,
    };

    /// <summary>No list of revoked ones is asked: short lives, and an authority of the house.</summary>
    private X509ChainPolicy ClientPolicy()
    {
        var policy = new X509ChainPolicy { TrustMode = X509ChainTrustMode.CustomRootTrust, RevocationMode = X509RevocationMode.NoCheck, DisableCertificateDownloads = true };
        policy.CustomTrustStore.AddRange(_authorities.Value);
        policy.ApplicationPolicy.Add(ClientUse);
        return policy;
    }
}
