using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Pourwright.Studio.Messaging;

/// <summary>Trust in a broker whose certificate is of the authorities in a PEM file, whomever else this machine trusts.</summary>
/// <remarks>No list of revoked ones is asked: short lives, and an authority of the house.</remarks>
internal sealed class BrokerTrust
{
    /// <summary>For servers, in the words of X.509 (RFC 5280, 4.2.1.12: id-kp-serverAuth).</summary>
    private static readonly Oid ServerUse = new("1.3.6.1.5.5.7.3.1");

    private readonly X509Certificate2Collection _authorities = [];

    /// <exception cref="InvalidOperationException">The file holds no certificate.</exception>
    public BrokerTrust(string authorityFile)
    {
        _authorities.ImportFromPemFile(authorityFile);
        if (_authorities.Count == 0) throw new InvalidOperationException($"Bus:Authority is {authorityFile}, which holds no certificate. It is a PEM file of the authorities whose broker is trusted.");
    }

    /// <summary>As a validation of SslStream. What names another host is refused whoever signed it.</summary>
    public bool Holds(object sender, X509Certificate? shown, X509Chain? between, SslPolicyErrors errors)
    {
        if (shown is not X509Certificate2 certificate || errors.HasFlag(SslPolicyErrors.RemoteCertificateNameMismatch)) return false;
        using var chain = new X509Chain { ChainPolicy = { TrustMode = X509ChainTrustMode.CustomRootTrust, RevocationMode = X509RevocationMode.NoCheck, DisableCertificateDownloads = true } };
        chain.ChainPolicy.CustomTrustStore.AddRange(_authorities);
        chain.ChainPolicy.ApplicationPolicy.Add(ServerUse);
        if (between is not null) foreach (var element in between.ChainElements) chain.ChainPolicy.ExtraStore.Add(element.Certificate);
        return chain.Build(certificate);
    }
}
