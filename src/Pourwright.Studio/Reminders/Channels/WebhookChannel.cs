using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using CloudNative.CloudEvents;
using CloudNative.CloudEvents.SystemTextJson;
using Google.Protobuf;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders.Channels;

/// <summary>Posts a reminder as a signed CloudEvent 1.0, structured JSON. Its data is the Reminder of the API as protobuf JSON.</summary>
/// <remarks>
/// The receiver drops doubles by (source, id). Only listed hosts are reached, only public addresses unless a network is listed; no
/// redirect is followed, no proxy asked, no cookie kept, and the answer's body is not read.
/// </remarks>
public sealed class WebhookChannel : IReminderChannel, IDisposable
{
    public const string Name = "webhook";

    private readonly WebhookOptions _webhooks;
    private readonly WebhookGuard _guard;
    private readonly Func<string, CancellationToken, Task<IPAddress[]>> _resolve;
    private readonly HttpClient _client;

    /// <param name="options">Whither and how.</param>
    /// <param name="resolve">Addresses of a host; those that this machine knows where null.</param>
    public WebhookChannel(ReminderOptions options, Func<string, CancellationToken, Task<IPAddress[]>>? resolve = null)
    {
        _resolve = resolve ?? Dns.GetHostAddressesAsync;
        _webhooks = options.Webhooks;
        _guard = new WebhookGuard(_webhooks);
        _client = new HttpClient(new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            UseProxy = false,
            UseCookies = false,
            ConnectCallback = ConnectAsync,
            // A name may come to mean another address: it is resolved and checked again.
            PooledConnectionLifetime = TimeSpan.FromMinutes(2),
        })
        { Timeout = _webhooks.Timeout };
    }

    public string Channel => Name;

    public async Task<DeliveryOutcome> SendAsync(ReminderRecord reminder, string address, DateTimeOffset attempted, CancellationToken ct)
    {
        var uri = new Uri(address);
        if (_webhooks.Secrets.Count == 0)
            return DeliveryOutcome.Off("No secret is set on this node to sign with; set Reminders:Webhooks:Secrets.");
        if (_guard.Refusal(uri) is { } refusal) return DeliveryOutcome.Refused(refusal);
        try
        {
            using var request = Compose(reminder, uri, attempted);
            using var answer = await _client.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, ct);
            return Judge(answer.StatusCode);
        }
        catch (OperationCanceledException) when (!ct.IsCancellationRequested)
        {
            return DeliveryOutcome.Failed($"{uri.Host} did not answer within {_webhooks.Timeout.TotalSeconds:0} s.");
        }
    }

    /// <summary>The event. Its subject is a piece, bench, sensor, container or reminder, never a person.</summary>
    public static CloudEvent Event(ReminderRecord reminder) => new(CloudEventsSpecVersion.V1_0)
    {
        Id = ResourceNames.IdOf(reminder.Name),
        Source = new Uri(reminder.Studio, UriKind.Relative),
        Type = $"pourwright.v1.reminder.{Slug(reminder.Kind)}",
        Subject = reminder.Subject,
        Time = Instants.FromUnixMs(reminder.SendMs ?? reminder.RemindMs),
        DataContentType = "application/json",
        Data = JsonDocument.Parse(JsonFormatter.Default.Format(reminder.ToProto())).RootElement,
    };

    public void Dispose() => _client.Dispose();

    private HttpRequestMessage Compose(ReminderRecord reminder, Uri uri, DateTimeOffset attempted)
    {
        var cloudEvent = Event(reminder);
        var body = new JsonEventFormatter().EncodeStructuredModeMessage(cloudEvent, out var contentType).ToArray();
        var timestampSeconds = attempted.ToUnixTimeSeconds();
        var request = new HttpRequestMessage(HttpMethod.Post, uri) { Content = new ByteArrayContent(body) };
        request.Content.Headers.TryAddWithoutValidation("Content-Type", contentType.ToString());
        request.Headers.Add("webhook-id", cloudEvent.Id);
        request.Headers.Add("webhook-timestamp", timestampSeconds.ToString(CultureInfo.InvariantCulture));
        request.Headers.Add("webhook-signature", WebhookSignature.Of(cloudEvent.Id!, timestampSeconds, body, _webhooks.Secrets));
        return request;
    }

    /// <summary>2xx has it; 410 says that the receiver is gone for good (Standard Webhooks); all else is tried again, a redirect too.</summary>
    private static DeliveryOutcome Judge(HttpStatusCode status) => (int)status switch
    {
        >= 200 and < 300 => DeliveryOutcome.Delivered,
        410 => DeliveryOutcome.Refused("The receiver answered 410: it is gone."),
        >= 300 and < 400 => DeliveryOutcome.Failed($"The receiver answered {(int)status}: no redirect is followed; give its final address."),
        var other => DeliveryOutcome.Failed($"The receiver answered {other}."),
    };

    private async ValueTask<Stream> ConnectAsync(SocketsHttpConnectionContext context, CancellationToken ct)
    {
        var addresses = await _resolve(context.DnsEndPoint.Host, ct);
        var allowed = addresses.Where(_guard.MayConnect).ToArray();
        if (allowed.Length == 0)
            throw new IOException(
                $"{context.DnsEndPoint.Host} has no public address; if that is meant, add its network to Reminders:Webhooks:PrivateNetworks.");
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        try
        {
            await socket.ConnectAsync(allowed, context.DnsEndPoint.Port, ct);
            return new NetworkStream(socket, ownsSocket: true);
        }
        catch
        {
            socket.Dispose();
            throw;
        }
    }

    /// <summary>"demold-ready" of DemoldReady.</summary>
    private static string Slug(Reminder.Types.Kind kind) =>
        string.Concat(kind.ToString().Select((c, i) => i > 0 && char.IsUpper(c) ? $"-{c}" : $"{c}")).ToLowerInvariant();
}
