using System.Net;
using Google.Protobuf.Reflection;
using Google.Rpc;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Pourwright.Pages;
using Pourwright.Studio;
using Pourwright.Studio.Access;
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
        builder.WebHost.ConfigureKestrel(kestrel => Listen(kestrel, node));
        builder.Services.Configure<HostOptions>(host => host.ShutdownTimeout = StopPatience);
        var store = StoreSettings.Open(builder.Configuration);
        builder.Services.AddStudioStorage(store).AddStudioSettings();
        if (node.IsWorker) builder.Services.AddStudioWorker(store, BusSetting.Of(builder.Configuration));
        if (node.IsApi) AddApi(builder.Services);
        if (node.IsPages) builder.Services.AddPages(services => NodeOf(services, node));
        builder.Services.AddNodeHealth().AddTelemetry(builder.Configuration, node);
        configure?.Invoke(builder);

        var app = builder.Build();
        app.Services.GetRequiredService<StudioStore>().Migrate();
        if (node.IsPages) app.UsePages();
        if (node.IsApi) MapApi(app);
        if (node.IsPages) app.MapPages();
        app.MapNodeHealth();
        return app;
    }

    private static void AddApi(IServiceCollection services)
    {
        services.AddGrpc(grpc =>
        {
            grpc.MaxReceiveMessageSize = NodeSettings.RequestBytesMax;
            grpc.Interceptors.Add<RefusalInterceptor>();
            grpc.Interceptors.Add<AccessInterceptor>();
        }).AddJsonTranscoding(json =>
        {
            // As protobuf JSON says: a mass of more than 2^53 mg would lose digits as a JSON number.
            json.JsonSettings.WriteInt64sAsStrings = true;
            json.TypeRegistry = TypeRegistry.FromMessages(
                ErrorInfo.Descriptor, BadRequest.Descriptor, PreconditionFailure.Descriptor, ResourceInfo.Descriptor, RetryInfo.Descriptor);
        });
        services.AddGrpcReflection();
        services.AddGrpcHealthChecks(NodeHealth.SpeakOfTheStore);
    }

    private static void MapApi(WebApplication app)
    {
        app.UseMiddleware<UnreadableMessages>();
        app.UseMiddleware<IdentifyCaller>();
        app.MapStudioServices();
        app.MapGrpcReflectionService();
        app.MapGrpcHealthChecksService();
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

    /// <summary>Without TLS one port cannot tell HTTP/2 from HTTP/1.1: gRPC has one, JSON the next.</summary>
    private static void Listen(KestrelServerOptions kestrel, NodeSettings node)
    {
        var address = IPAddress.Parse(node.ListenAddress);
        kestrel.Limits.MaxRequestBodySize = NodeSettings.RequestBytesMax;
        kestrel.Listen(address, node.GrpcPort, listen => listen.Protocols = HttpProtocols.Http2);
        kestrel.Listen(address, node.HttpPort, listen => listen.Protocols = HttpProtocols.Http1);
    }
}
