using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Pourwright.Cli.Kernel;

/// <summary>PEM files by which a command and a server know each other over TLS.</summary>
/// <param name="Certificate">What the command shows where the server asks for it, then those between it and its authority; null shows none.</param>
/// <param name="Key">Its private key; null where it stands in the same file.</param>
/// <param name="Authority">Whose servers are trusted; null for those that this machine trusts.</param>
public sealed record TlsFiles(string? Certificate, string? Key, string? Authority)
{
    private bool AreNone => (Certificate, Key, Authority) == (null, null, null);

    /// <summary>A handler that shows and trusts what the files hold.</summary>
    /// <exception cref="UsageException">A file holds something else, or they do not belong together, or the server is spoken to without TLS.</exception>
    public SocketsHttpHandler Handler(Uri server)
    {
        if (!AreNone && server.Scheme != "https")
            throw new UsageException($"Over plain HTTP neither side shows a certificate: write https://{server.Authority}, or leave certificate and authority out.");
        if (Key is not null && Certificate is null)
            throw new UsageException($"{Key} is the key of no certificate: name that as well, --certificate FILE or POURWRIGHT_CERTIFICATE.");
        var handler = new SocketsHttpHandler { EnableMultipleHttp2Connections = true };
        if (Certificate is not null) handler.SslOptions.ClientCertificateContext = Shown(Certificate, Key ?? Certificate);
        if (Authority is not null) handler.SslOptions.CertificateChainPolicy = TrustIn(Authority);
        return handler;
    }

    private static SslStreamCertificateContext Shown(string certificateFile, string keyFile)
    {
        var (pem, key) = (File.ReadAllText(certificateFile), File.ReadAllText(keyFile));
        ClientKey.RequirePrivate(keyFile);
        var chain = Certificates(certificateFile, pem);
        if (key.Contains("ENCRYPTED", StringComparison.Ordinal))
            throw new UsageException($"The key in {keyFile} has a password, and nobody is asked for it: write one without, openssl pkey -in {keyFile} -out FILE, and chmod 600 FILE.");
        try
        {
            return SslStreamCertificateContext.Create(X509Certificate2.CreateFromPem(pem, key), chain, offline: true);
        }
        catch (Exception e) when (e is CryptographicException or ArgumentException)
        {
            throw new UsageException($"{keyFile} holds no key of the certificate in {certificateFile}: both are PEM files, made as a pair. Name the key's own file, --certificate-key FILE or POURWRIGHT_CERTIFICATE_KEY.");
        }
    }

    /// <summary>No list of revoked ones is asked, as the node does not.</summary>
    private static X509ChainPolicy TrustIn(string authorityFile)
    {
        var policy = new X509ChainPolicy { TrustMode = X509ChainTrustMode.CustomRootTrust, RevocationMode = X509RevocationMode.NoCheck, DisableCertificateDownloads = true };
        policy.CustomTrustStore.AddRange(Certificates(authorityFile, File.ReadAllText(authorityFile)));
        return policy;
    }

    private static X509Certificate2Collection Certificates(string file, string pem)
    {
        try
        {
            X509Certificate2Collection certificates = [];
            certificates.ImportFromPem(pem);
            return certificates.Count > 0 ? certificates : throw new CryptographicException("None is there.");
        }
        catch (CryptographicException)
        {
            throw new UsageException($"{file} holds no certificate: it is a PEM file, text between BEGIN CERTIFICATE and END CERTIFICATE. From another form: openssl x509 -inform der -in {file} -out FILE.");
        }
    }
}
