using System.Net;
using System.Net.Sockets;
using MailKit.Security;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Reminders;

public sealed class EmailChannelTests
{
    private static readonly DateTimeOffset Sent = ReadyReminder.Sent;

    private static readonly ReminderRecord Ready = ReadyReminder.Record with { Text = "Walnut 7: safe to demold from Fri 6 Feb 09:00 (UTC+00:00). Test by touch first." };

    [Fact]
    public async Task SendAsync_ToAMailServer_HandsInPlainTextWithTheReminderAsItsId()
    {
        await using var sink = await MailSink.StartAsync();

        var outcome = await Channel(sink.Port).SendAsync(Ready, "ivo@alder.example", Sent, default);

        Assert.Equal(DeliveryOutcome.Delivered, outcome);
        var mail = Assert.Single(sink.Received);
        Assert.Equal("reminder-7k3f-9qtm.alder@pourwright.example", mail.MessageId);
        Assert.Equal(("ivo@alder.example", "studio@pourwright.example"), (mail.To.ToString(), mail.From.ToString()));
        Assert.Equal("Pourwright: Walnut 7: safe to demold from Fri 6 Feb 09:00 (UTC+00:00)", mail.Subject);
        Assert.Equal((Sent, true), (mail.Date, mail.Body!.ContentType.IsMimeType("text", "plain")));
        Assert.StartsWith(Ready.Text, mail.TextBody, StringComparison.Ordinal);
        Assert.Contains(Ready.Name, mail.TextBody, StringComparison.Ordinal);
    }

    [Fact]
    public async Task SendAsync_Twice_CarriesTheSameId()
    {
        await using var sink = await MailSink.StartAsync();

        await Channel(sink.Port).SendAsync(Ready, "ivo@alder.example", Sent, default);
        await Channel(sink.Port).SendAsync(Ready, "ivo@alder.example", Sent.AddHours(1), default);

        Assert.Equal(2, sink.Received.Count);
        Assert.Single(sink.Received.Select(mail => (mail.MessageId, mail.Date, mail.TextBody)).Distinct());
    }

    [Fact]
    public void Compose_Escalated_SaysWhyItComes() => Assert.StartsWith(
        "Nobody has acknowledged this yet",
        EmailChannel.Compose(Ready with { EscalateMs = Sent.ToUnixMs() }, "olive@alder.example", "studio@pourwright.example").TextBody,
        StringComparison.Ordinal);

    [Fact]
    public async Task SendAsync_UnknownMailbox_IsRefusedForGood()
    {
        await using var sink = await MailSink.StartAsync();

        var outcome = await Channel(sink.Port).SendAsync(Ready, "nobody@alder.example", Sent, default);

        Assert.Equal(DeliveryEnd.Refused, outcome.End);
        Assert.Contains("550", outcome.Error, StringComparison.Ordinal);
        Assert.Empty(sink.Received);
    }

    [Fact]
    public async Task SendAsync_NobodyListens_Throws()
    {
        // A port that was free a moment ago; nothing listens there now.
        var free = new TcpListener(IPAddress.Loopback, 0);
        free.Start();
        var port = ((IPEndPoint)free.LocalEndpoint).Port;
        free.Stop();

        await Assert.ThrowsAsync<SocketException>(() => Channel(port).SendAsync(Ready, "ivo@alder.example", Sent, default));
    }

    [Fact]
    public async Task SendAsync_ServerThatNeverSpeaks_IsAFailureAfterTheTimeout()
    {
        using var silent = new TcpListener(IPAddress.Loopback, 0);
        silent.Start();

        var outcome = await Channel(((IPEndPoint)silent.LocalEndpoint).Port, TimeSpan.FromMilliseconds(50))
            .SendAsync(Ready, "ivo@alder.example", Sent, default);

        Assert.Equal(DeliveryEnd.Failed, outcome.End);
    }

    [Fact]
    public async Task SendAsync_WithoutAMailServer_SaysSo() => Assert.Equal(
        DeliveryEnd.Off, (await new EmailChannel(new()).SendAsync(Ready, "ivo@alder.example", Sent, default)).End);

    private static EmailChannel Channel(int port, TimeSpan? timeout = null) => new(new()
    {
        Mail = new()
        {
            Host = "127.0.0.1",
            Port = port,
            Security = SecureSocketOptions.None,
            From = "studio@pourwright.example",
            Timeout = timeout ?? TimeSpan.FromSeconds(20),
        },
    });
}
