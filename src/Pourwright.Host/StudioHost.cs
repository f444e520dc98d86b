using System.Net;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.HttpOverrides;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Pourwright.Host.Limits;
using Pourwright.Host.Tls;
using Pourwright.Pages;
using Pourwright.Studio;
using Pourwright.Studio.Access;
using Pourwright.Studio.Audit;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;

namespace Pourwright.Host;

/// <summary>Puts one node together from its settings.</summary>
public static class StudioHost
{
    /// <summary>What is running may finish within it; whoever stops the node kills it a little later. Common practice, no source.</summary>
    private static readonly TimeSpan StopPatience = TimeSpan.FromSeconds(20);

    /// <summary>Runs a node until it is told to stop. Exit code 1 when its store took no more writes, so that whoever supervises it starts it again.</summary>
    public static async Task<int> RunAsync(string[] args)
    {
        await using var app = Build(args);
        var writer = app.Services.GetRequiredService<StudioWriter>();
        await app.StartAsync();
        await OwnerKeyCommand.OfferAsync(app);
        await app.WaitForShutdownAsync();
        return writer.Fault is null ? 0 : 1;
    }

    /// <summary>A node ready to run: the store is migrated, nothing listens yet.</summary>
    /// <param name="args">Settings as `--Node:Database=...`; see <see cref="NodeSettings"/>.</param>
    /// <param name="configure">Last word over services: another clock, another sink.</param>
    public static WebApplication Build(string[] args, Action<WebApplicationBuilder>? configure = null)
    {
        var builder = WebApplication.CreateBuilder(new WebApplicationOptions { Args = args, ContentRootPath = AppContext.BaseDirectory });
        var node = builder.Configuration.GetSection("Node").Get<NodeSettings>() ?? new();
        var limits = builder.Configuration.GetSection("Limits").Get<NodeLimits>() ?? new();
        builder.WebHost.ConfigureKestrel(kestrel => Listen(kestrel, node, limits));
        builder.Services.Configure<HostOptions>(host => host.ShutdownTimeout = StopPatience);
        var store = StoreSettings.Open(builder.Configuration);
        builder.Services.AddStudioStorage(store).AddStudioSettings();
        if (node.IsWorker) builder.Services.AddStudioWorker(store, BusSetting.Of(builder.Configuration));
        if (node.IsApi) AddApi(builder.Services, limits);
        builder.Services.AddNodeTls(builder.Configuration);
        if (node.IsPages) builder.Services.AddPages(services => NodeOf(services, node), services => HandlerOf(services, node));
        builder.Services.AddNodeHealth().AddTelemetry(builder.Configuration, node);
        configure?.Invoke(builder);

        var app = builder.Build();
        app.Services.GetRequiredService<NodeTls>().Check();
        app.Services.GetRequiredService<StudioStore>().Migrate();
        app.UseForwardedHeaders(Proxies(node));
        if (node.IsPages) app.UsePages();
        if (node.IsApi) MapApi(app);
        if (node.IsPages) app.MapPages();
        app.MapNodeHealth();
        return app;
    }

    private static void AddApi(IServiceCollection services, NodeLimits limits)
    {
        services.AddSingleton(limits).AddSingleton<CallLimits>();
        services.AddGrpc(grpc =>
        {
            grpc.MaxReceiveMessageSize = limits.MessageBytes;
            grpc.Interceptors.Add<RefusalInterceptor>();
            grpc.Interceptors.Add<AuditInterceptor>();
            grpc.Interceptors.Add<AccessInterceptor>();
        }).AddJsonTranscoding(json =>
        {
            // As protobuf JSON says: a mass of more than 2^53 mg would lose digits as a JSON number.
            json.JsonSettings.WriteInt64sAsStrings = true;
            json.TypeRegistry = RefusedRequest.Details;
        });
        services.AddGrpcReflection();
        services.AddGrpcHealthChecks(NodeHealth.SpeakOfTheStore);
    }

    private static void MapApi(WebApplication app)
    {
        app.UseMiddleware<UnreadableMessages>();
        app.UseMiddleware<IdentifyCaller>();
        app.UseMiddleware<AdmitCalls>();
        app.MapStudioServices();
        app.MapGrpcReflectionService();
        app.MapGrpcHealthChecksService();
    }

    /// <summary>Who may say for whom they ask, and whether over TLS: what runs on this machine, the pages among it, and the proxies that are named.</summary>
    private static ForwardedHeadersOptions Proxies(NodeSettings node)
    {
        var options = new ForwardedHeadersOptions { ForwardedHeaders = ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto };
        foreach (var network in node.Proxies) options.KnownIPNetworks.Add(System.Net.IPNetwork.Parse(network));
        return options;
    }

    /// <summary>The node that the pages are clients of: the one that is named, else this one, over loopback where it listens everywhere.</summary>
    private static Uri NodeOf(IServiceProvider services, NodeSettings node)
    {
        if (node.PagesOf.Length > 0) return new(node.PagesOf);
        var own = new UriBuilder(services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First());
        if (IPAddress.TryParse(own.Host.Trim('[', ']'), out var address) && (address.Equals(IPAddress.Any) || address.Equals(IPAddress.IPv6Any)))
            own.Host = IPAddress.Loopback.ToString();
        return own.Uri;
    }

    /// <summary>How the pages connect to it: to this node by its certificate, where it has one, to another like any client.</summary>
    private static SocketsHttpHandler HandlerOf(IServiceProvider services, NodeSettings node) =>
        services.GetRequiredService<NodeTls>().OwnClient(isThisNode: node.PagesOf.Length == 0);

    /// <summary>Without TLS one port cannot tell HTTP/2 from HTTP/1.1: gRPC has one, JSON the next.</summary>
    private static void Listen(KestrelServerOptions kestrel, NodeSettings node, NodeLimits limits)
    {
        var address = IPAddress.Parse(node.ListenAddress);
        ConnectionLimits.Set(kestrel.Limits, limits);
        var tls = kestrel.ApplicationServices.GetRequiredService<NodeTls>();
        kestrel.Listen(address, node.GrpcPort, listen => tls.Use(listen, HttpProtocols.Http2));
        kestrel.Listen(address, node.HttpPort, listen => tls.Use(listen, HttpProtocols.Http1));
    }
}
