using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Pourwright.Host.Tls;

/// <summary>The certificate in its files, as they are now.</summary>
/// <remarks>
/// New connections ask for it, and the files are looked at no more than once a second: no watch of a folder to lose, whether a file is written over,
/// moved into place or the target of a link that is turned. A pair that does not belong together, as halfway through a renewal, leaves
/// the former one in use.
/// </remarks>
internal sealed class NodeCertificate(TlsSettings tls, TimeProvider time, ILogger<NodeCertificate> logger)
{
    private static readonly TimeSpan Freshness = TimeSpan.FromSeconds(1);

    private readonly Lock _gate = new();

    private Pair? _current;
    private string _read = "";
    private long _readAt;

    /// <exception cref="InvalidOperationException">There is none yet, and the files hold none.</exception>
    public Pair Current
    {
        get
        {
            lock (_gate)
            {
                if (_current is null || time.GetElapsedTime(_readAt) >= Freshness) Read();
                return _current ?? throw new InvalidOperationException($"{tls.Certificate} and {tls.Key} hold no certificate with its key. Both are PEM files.");
            }
        }
    }

    /// <summary>Whether a certificate is the one in the files.</summary>
    public bool IsShown(X509Certificate? shown) => shown is not null && shown.GetRawCertData().AsSpan().SequenceEqual(Current.Certificate.RawData);

    private void Read()
    {
        _readAt = time.GetTimestamp();
        try
        {
            var (certificate, key) = (File.ReadAllText(tls.Certificate), File.ReadAllText(tls.Key));
            if (certificate + key == _read) return;
            _current = Pair.Of(certificate, key);
            _read = certificate + key;
            logger.LogInformation("The certificate of this node is {Thumbprint}, good until {Until:u}.", _current.Certificate.Thumbprint, _current.Certificate.NotAfter.ToUniversalTime());
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or CryptographicException or ArgumentException)
        {
            logger.LogWarning("The certificate in {File} cannot be used: {Problem} The former one stays in use.", tls.Certificate, e.Message);
        }
    }

    /// <summary>A certificate with its key, and what is shown with it.</summary>
    internal sealed record Pair(X509Certificate2 Certificate, SslStreamCertificateContext Context)
    {
        /// <exception cref="CryptographicException">They are none, or do not belong together.</exception>
        public static Pair Of(string certificatePem, string keyPem)
        {
            var certificate = X509Certificate2.CreateFromPem(certificatePem, keyPem);
            var chain = new X509Certificate2Collection();
            chain.ImportFromPem(certificatePem);
            return new(certificate, SslStreamCertificateContext.Create(certificate, chain, offline: true));
        }
    }
}
