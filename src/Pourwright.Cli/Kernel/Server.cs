using Google.Protobuf;
using Grpc.Core;
using Grpc.Core.Interceptors;
using Grpc.Net.Client;
using Grpc.Net.Client.Configuration;
using Pourwright.V1;

namespace Pourwright.Cli.Kernel;

/// <summary>The server's services. A call is sent again only while the server is unavailable, with the same request id.</summary>
public sealed class Server(CallInvoker calls) : IDisposable
{
    /// <summary>What one page of a list holds at most.</summary>
    private const int PageSize = 500;

    private GrpcChannel? _channel;

    public AccessService.AccessServiceClient Access => new(calls);

    public AuditService.AuditServiceClient Audit => new(calls);

    public StudioService.StudioServiceClient Studios => new(calls);

    public SiteService.SiteServiceClient Sites => new(calls);

    public ResinService.ResinServiceClient Resins => new(calls);

    public OfferingService.OfferingServiceClient Offerings => new(calls);

    public InstructorService.InstructorServiceClient Instructors => new(calls);

    public LotService.LotServiceClient Lots => new(calls);

    public MixService.MixServiceClient Mixes => new(calls);

    public PieceService.PieceServiceClient Pieces => new(calls);

    public ClimateService.ClimateServiceClient Climate => new(calls);

    public ForecastService.ForecastServiceClient Forecasts => new(calls);

    public CureService.CureServiceClient Cure => new(calls);

    public LearningService.LearningServiceClient Learning => new(calls);

    public AdviceService.AdviceServiceClient Advice => new(calls);

    public ReminderService.ReminderServiceClient Reminders => new(calls);

    public ClassService.ClassServiceClient Classes => new(calls);

    public StudentService.StudentServiceClient Students => new(calls);

    public StudentLinkService.StudentLinkServiceClient StudentLinks => new(calls);

    public PrivacyService.PrivacyServiceClient Privacy => new(calls);

    public MouldService.MouldServiceClient Moulds => new(calls);

    public CalendarService.CalendarServiceClient Calendars => new(calls);

    public DefectService.DefectServiceClient Defects => new(calls);

    public SuspectService.SuspectServiceClient Suspects => new(calls);

    public RecallService.RecallServiceClient Recalls => new(calls);

    public ReportService.ReportServiceClient Reports => new(calls);

    public PlanService.PlanServiceClient Plans => new(calls);

    public TraceService.TraceServiceClient Traces => new(calls);

    public SealService.SealServiceClient Seals => new(calls);

    public ExportService.ExportServiceClient Exports => new(calls);

    public LabelService.LabelServiceClient Labels => new(calls);

    public NeedService.NeedServiceClient Needs => new(calls);

    public FailedMessageService.FailedMessageServiceClient FailedMessages => new(calls);

    /// <summary>Opens a channel; plain HTTP speaks HTTP/2 without TLS.</summary>
    /// <param name="address">Where it is.</param>
    /// <param name="key">Goes along with every call.</param>
    /// <param name="tls">What is shown and trusted over TLS.</param>
    /// <exception cref="UsageException">The address is none, the key would go over plain HTTP to another machine, or the files do not fit.</exception>
    public static Server At(string address, string? key, TlsFiles tls)
    {
        var url = address.Contains("://", StringComparison.Ordinal) ? address : $"http://{address}";
        if (!Uri.TryCreate(url, UriKind.Absolute, out var uri) || uri.Scheme is not ("http" or "https"))
            throw new UsageException($"'{address}' is not a server address: write http://HOST:PORT or https://HOST:PORT.");
        if (key is not null && uri.Scheme == "http" && !uri.IsLoopback)
            throw new UsageException($"Over plain HTTP everybody on the way to {uri.Host} could read the key: write https://{uri.Authority}.");
        var channel = GrpcChannel.ForAddress(uri, new()
        {
            Credentials = CredentialsOf(uri, key),
            UnsafeUseInsecureChannelCallCredentials = true,
            ServiceConfig = RetryWhileAway(),
            HttpHandler = tls.Handler(uri),
            DisposeHttpClient = true,
            MaxReceiveMessageSize = 64 * 1024 * 1024,
        });
        return new(channel.CreateCallInvoker().Intercept(new AnswerDeadline())) { _channel = channel };
    }

    /// <summary>Every page of a list, put together.</summary>
    public static async Task<TResponse> ListAsync<TRequest, TResponse>(
        TRequest request, Func<TRequest, CallOptions, AsyncUnaryCall<TResponse>> list, CancellationToken cancellationToken)
        where TRequest : IMessage<TRequest>
        where TResponse : IMessage<TResponse>, new()
    {
        var all = new TResponse();
        var nextPage = all.Descriptor.FindFieldByName("next_page_token").Accessor;
        request.Descriptor.FindFieldByName("page_size").Accessor.SetValue(request, PageSize);
        string token;
        do
        {
            var page = await list(request, new(cancellationToken: cancellationToken));
            token = (string)nextPage.GetValue(page);
            request.Descriptor.FindFieldByName("page_token").Accessor.SetValue(request, token);
            all.MergeFrom(page);
        }
        while (token != "");
        nextPage.Clear(all);
        return all;
    }

    /// <summary>
    /// Follows a stream that never ends by itself. A server that goes away after the first answer is waited for; one that
    /// never answered is away.
    /// </summary>
    /// <param name="open">Begins the stream.</param>
    /// <param name="each">Takes an item.</param>
    /// <param name="away">Is told once that the server went away.</param>
    /// <param name="cancellationToken">Ends it, as it should end.</param>
    public static async Task WatchAsync<T>(
        Func<CancellationToken, AsyncServerStreamingCall<T>> open, Action<T> each, Action<string> away, CancellationToken cancellationToken)
    {
        var (answered, told) = (false, false);
        while (!cancellationToken.IsCancellationRequested)
        {
            try
            {
                using var call = open(cancellationToken);
                await foreach (var item in call.ResponseStream.ReadAllAsync(cancellationToken))
                {
                    (answered, told) = (true, false);
                    each(item);
                }
            }
            catch (Exception) when (cancellationToken.IsCancellationRequested)
            {
                return;
            }
            catch (RpcException lost) when (answered && lost.StatusCode == StatusCode.Unavailable)
            {
                if (!told)
                    away(lost.Status.Detail);
                told = true;
            }
            await Task.Delay(TimeSpan.FromSeconds(2), cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    public void Dispose() => _channel?.Dispose();

    private static ChannelCredentials CredentialsOf(Uri uri, string? key)
    {
        var channel = uri.Scheme == "https" ? ChannelCredentials.SecureSsl : ChannelCredentials.Insecure;
        return key is null ? channel : ChannelCredentials.Create(channel, CallCredentials.FromInterceptor((_, headers) =>
        {
            headers.Add("authorization", $"Bearer {key}");
            return Task.CompletedTask;
        }));
    }

    private static ServiceConfig RetryWhileAway() => new()
    {
        MethodConfigs =
        {
            new MethodConfig
            {
                Names = { MethodName.Default },
                RetryPolicy = new()
                {
                    MaxAttempts = 5,
                    InitialBackoff = TimeSpan.FromMilliseconds(200),
                    MaxBackoff = TimeSpan.FromSeconds(2),
                    BackoffMultiplier = 2,
                    RetryableStatusCodes = { StatusCode.Unavailable },
                },
            },
        },
    };

    /// <summary>A question that hangs is given up; a stream is not.</summary>
    private sealed class AnswerDeadline : Interceptor
    {
        private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

        public override AsyncUnaryCall<TResponse> AsyncUnaryCall<TRequest, TResponse>(
            TRequest request, ClientInterceptorContext<TRequest, TResponse> context, AsyncUnaryCallContinuation<TRequest, TResponse> continuation) =>
            continuation(request, new(context.Method, context.Host, context.Options.WithDeadline(Deadline())));

        /// <summary>On the system's clock, whatever clock the command goes by: the channel compares it with that one.</summary>
        private static DateTime Deadline() => TimeProvider.System.GetUtcNow().UtcDateTime + Patience;
    }
}
