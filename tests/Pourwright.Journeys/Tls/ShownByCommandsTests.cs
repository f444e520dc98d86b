using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Pourwright.Cli.Kernel;
using Pourwright.Journeys.Cli;
using Pourwright.Testing;

namespace Pourwright.Journeys.Tls;

/// <summary>The command line and a node that lets only clients of its authority connect.</summary>
public sealed class ShownByCommandsTests : IAsyncLifetime
{
    private const string Fitting = "--certificate bench.pem --certificate-key bench.key";

    private static readonly TestAuthority House = TestAuthority.Root(), Others = TestAuthority.Root("Others");

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("pourwright-shown-");

    private StudioHarness _node = null!;

    public async Task InitializeAsync()
    {
        Write("node", House.Issue("node", TestAuthority.ServerUse));
        Write("bench", House.Issue("bench", TestAuthority.ClientUse));
        Write("others", Others.Issue("bench", TestAuthority.ClientUse));
        Write("house.pem", House.Certificate.ExportCertificatePem());
        Write("strangers.pem", Others.Certificate.ExportCertificatePem());
        Write("both.pem", $"{Read("bench.pem")}\n{Read("bench.key")}");
        Write("nothing.pem", "nothing");
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        Write("secret.key", key.ExportEncryptedPkcs8PrivateKeyPem("epoxy", new(PbeEncryptionAlgorithm.Aes256Cbc, HashAlgorithmName.SHA256, 1000)));
        Write("open.key", Read("bench.key"), UnixFileMode.OtherRead);
        _node = await StudioHarness.StartAsync(null, $"--Tls:Certificate={Named("node.pem")}", $"--Tls:Key={Named("node.key")}", $"--Tls:ClientAuthority={Named("house.pem")}");
    }

    public async Task DisposeAsync()
    {
        await _node.DisposeAsync();
        _folder.Delete(recursive: true);
    }

    [Theory]
    [InlineData(Fitting)]
    [InlineData("--certificate both.pem")]
    public async Task Command_ThatShowsOneOfTheAuthority_IsLetIn(string files)
    {
        var (code, output, error) = await RunAsync($"{files} --authority house.pem");

        Assert.True(code == ExitCodes.Done, error);
        Assert.Contains("riverside", output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--authority house.pem", "show it one: --certificate FILE")]
    [InlineData("--authority house.pem --certificate others.pem --certificate-key others.key", "No answer from https://")]
    [InlineData($"{Fitting} --authority strangers.pem", "Its certificate is not trusted here")] // the node's own is of the house
    [InlineData(Fitting, "Name its authority, --authority FILE")] // this machine trusts no house
    public async Task Command_ThatShowsNoneOrAnother_OrTrustsAnother_IsNotLetIn(string files, string told)
    {
        var (code, output, error) = await RunAsync(files);

        Assert.Equal((ExitCodes.ServerAway, ""), (code, output));
        Assert.Contains(told, error.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--certificate bench.pem", "holds no key of the certificate")]
    [InlineData("--certificate bench.pem --certificate-key others.key", "holds no key of the certificate")]
    [InlineData("--certificate nothing.pem --certificate-key bench.key", "holds no certificate")]
    [InlineData("--certificate bench.pem --certificate-key secret.key", "has a password")]
    [InlineData("--certificate bench.pem --certificate-key open.key", "chmod 600")]
    [InlineData("--certificate bench.pem --certificate-key none.key", "none.key")]
    [InlineData("--certificate-key bench.key", "is the key of no certificate")]
    [InlineData("--authority nothing.pem", "holds no certificate")]
    public async Task Files_ThatDoNotFit_AreToldBeforeAnythingIsSent(string files, string told)
    {
        var (code, _, error) = await RunAsync(files);

        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains(told, error.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Certificate_OverPlainHttp_IsAMistake()
    {
        var (code, _, error) = await RunAsync(Fitting, "http");

        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains("Over plain HTTP neither side shows a certificate", error.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    private Task<(int Code, string Out, string Error)> RunAsync(string files, string scheme = "https")
    {
        var paths = files.Split(' ').Select(word => word.StartsWith("--", StringComparison.Ordinal) ? word : Named(word));
        return new Shell($"{scheme}://{_node.Channel.Target}", _node.Clock).RunAsync($"studio create riverside --name Riverside {string.Join(' ', paths)}");
    }

    private string Named(string file) => Path.Combine(_folder.FullName, file);

    private string Read(string file) => File.ReadAllText(Named(file));

    private void Write(string name, X509Certificate2 certificate)
    {
        Write($"{name}.pem", certificate.ExportCertificatePem());
        Write($"{name}.key", certificate.GetECDsaPrivateKey()!.ExportPkcs8PrivateKeyPem());
    }

    private void Write(string file, string text, UnixFileMode others = UnixFileMode.None)
    {
        File.WriteAllText(Named(file), text);
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(Named(file), UnixFileMode.UserRead | UnixFileMode.UserWrite | others);
    }
}
