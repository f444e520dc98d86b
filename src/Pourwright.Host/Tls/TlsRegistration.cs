namespace Pourwright.Host.Tls;

/// <summary>Registers TLS of a node; settings of the section `Tls`.</summary>
internal static class TlsRegistration
{
    public static IServiceCollection AddNodeTls(this IServiceCollection services, IConfiguration configuration) => services
        .AddSingleton(Of(configuration))
        .AddSingleton<NodeCertificate>()
        .AddSingleton<NodeTls>();

    public static TlsSettings Of(IConfiguration configuration) => configuration.GetSection("Tls").Get<TlsSettings>() ?? new();
}
