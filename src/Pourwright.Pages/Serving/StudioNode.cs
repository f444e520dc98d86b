using Grpc.Core;
using Grpc.Net.Client;
using Pourwright.V1;

namespace Pourwright.Pages.Serving;

/// <summary>The node that the pages are clients of, like any other client: what a page can do is what the API lets its caller do.</summary>
/// <remarks>
/// The pages go by gRPC over loopback, not by the services' own objects: one path through validation, refusals and access, and the
/// same code when pages and node are two processes. It costs some 0.3 ms a call.
/// </remarks>
/// <param name="calls">Calls that carry the key of whoever looks.</param>
/// <param name="key">That key: what is shared between people is shared by it.</param>
public sealed class StudioNode(CallInvoker calls, string key)
{
    public string Key => key;

    public AccessService.AccessServiceClient Access { get; } = new(calls);
    public StudioService.StudioServiceClient Studios { get; } = new(calls);
    public SiteService.SiteServiceClient Sites { get; } = new(calls);
    public ResinService.ResinServiceClient Resins { get; } = new(calls);
    public LotService.LotServiceClient Lots { get; } = new(calls);
    public MixService.MixServiceClient Mixes { get; } = new(calls);
    public PieceService.PieceServiceClient Pieces { get; } = new(calls);
    public ClimateService.ClimateServiceClient Climate { get; } = new(calls);
    public ForecastService.ForecastServiceClient Forecasts { get; } = new(calls);
    public AdviceService.AdviceServiceClient Advice { get; } = new(calls);
    public ClassService.ClassServiceClient Classes { get; } = new(calls);
    public NeedService.NeedServiceClient Needs { get; } = new(calls);
    public DefectService.DefectServiceClient Defects { get; } = new(calls);
    public TraceService.TraceServiceClient Traces { get; } = new(calls);
    public SuspectService.SuspectServiceClient Suspects { get; } = new(calls);
    public RecallService.RecallServiceClient Recalls { get; } = new(calls);
    public StudentService.StudentServiceClient Students { get; } = new(calls);
    public PrivacyService.PrivacyServiceClient Privacy { get; } = new(calls);
    public OwnPageService.OwnPageServiceClient Own { get; } = new(calls);
}

/// <summary>Where the node listens. Known once it does.</summary>
/// <param name="Find">The address of its gRPC port.</param>
/// <param name="Connect">Makes the connections to it.</param>
public sealed record NodeAddress(Func<Uri> Find, Func<HttpMessageHandler> Connect);

/// <summary>The connection that all pages share.</summary>
public sealed class NodeChannel(NodeAddress address) : IDisposable
{
    private readonly Lazy<GrpcChannel> _channel = new(() => GrpcChannel.ForAddress(address.Find(), new() { HttpHandler = address.Connect(), DisposeHttpClient = true }));

    public GrpcChannel Channel => _channel.Value;

    public void Dispose()
    {
        if (_channel.IsValueCreated) _channel.Value.Dispose();
    }
}
