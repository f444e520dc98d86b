using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Pourwright.Journeys.Tls;

/// <summary>An authority of one test: certificates good and bad, with their keys.</summary>
internal sealed class TestAuthority
{
    public const string ServerUse = "1.3.6.1.5.5.7.3.1", ClientUse = "1.3.6.1.5.5.7.3.2", AnyUse = "";

    private static readonly DateTimeOffset Now = TimeProvider.System.GetUtcNow();

    private TestAuthority(X509Certificate2 certificate) => Certificate = certificate;

    public X509Certificate2 Certificate { get; }

    /// <summary>One that nobody is above.</summary>
    public static TestAuthority Root(string name = "Authority")
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        return new(Request(name, key, AnyUse, isAuthority: true).CreateSelfSigned(Now.AddDays(-10), Now.AddDays(30)));
    }

    /// <summary>One below this one, or what passes itself off as one where it is none.</summary>
    public TestAuthority Below(bool isAuthority = true) => new(Issue("Between", AnyUse, isAuthority: isAuthority));

    /// <summary>For the node at loopback, or a client of it.</summary>
    public X509Certificate2 Issue(string name, string use, double fromDays = -1, double untilDays = 20, bool isAuthority = false)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        using var signed = Request(name, key, use, isAuthority).Create(
            Certificate.SubjectName, X509SignatureGenerator.CreateForECDsa(Certificate.GetECDsaPrivateKey()!), Now.AddDays(fromDays), Now.AddDays(untilDays), RandomNumberGenerator.GetBytes(8));
        return signed.CopyWithPrivateKey(key);
    }

    /// <summary>Of no authority.</summary>
    public static X509Certificate2 SelfSigned(string name)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        return Request(name, key, ClientUse, isAuthority: false).CreateSelfSigned(Now.AddDays(-1), Now.AddDays(20));
    }

    private static CertificateRequest Request(string name, ECDsa key, string use, bool isAuthority)
    {
        var request = new CertificateRequest($"CN={name}", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(isAuthority, hasPathLengthConstraint: false, 0, critical: true));
        if (use.Length > 0) request.CertificateExtensions.Add(new X509EnhancedKeyUsageExtension([new Oid(use)], critical: false));
        var names = new SubjectAlternativeNameBuilder();
        names.AddIpAddress(IPAddress.Loopback);
        request.CertificateExtensions.Add(names.Build());
        return request;
    }
}
