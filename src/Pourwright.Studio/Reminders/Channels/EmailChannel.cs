using MailKit.Net.Smtp;
using MimeKit;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Reminders.Channels;

/// <summary>Plain text by SMTP. The Message-Id is made of the reminder's id: a mailbox that gets it twice can tell.</summary>
public sealed class EmailChannel(ReminderOptions options) : IReminderChannel
{
    public const string Name = "email";

    /// <summary>From here a reply of SMTP is for good: RFC 5321, 4.2.1.</summary>
    private const int PermanentFrom = 500;

    private readonly MailOptions _mail = options.Mail;

    public string Channel => Name;

    public async Task<DeliveryOutcome> SendAsync(ReminderRecord reminder, string address, DateTimeOffset attempted, CancellationToken ct)
    {
        if (_mail.Host.Length == 0) return DeliveryOutcome.Off("No mail server is set on this node; set Reminders:Mail:Host.");
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(ct);
        limit.CancelAfter(_mail.Timeout);
        try
        {
            await HandInAsync(Compose(reminder, address, _mail.From), limit.Token);
            return DeliveryOutcome.Delivered;
        }
        catch (SmtpCommandException e) when ((int)e.StatusCode >= PermanentFrom)
        {
            return DeliveryOutcome.Refused($"The mail server refused it: {(int)e.StatusCode} {e.Message}");
        }
        catch (OperationCanceledException) when (!ct.IsCancellationRequested)
        {
            return DeliveryOutcome.Failed($"The mail server did not answer within {_mail.Timeout.TotalSeconds:0} s.");
        }
    }

    /// <summary>The message. Only what the reminder says: its text, its name, the time it went out.</summary>
    public static MimeMessage Compose(ReminderRecord reminder, string address, string from)
    {
        var sender = MailboxAddress.Parse(from);
        var message = new MimeMessage
        {
            MessageId = $"{ResourceNames.IdOf(reminder.Name)}.{ResourceNames.IdOf(reminder.Studio)}@{sender.Domain}",
            Date = Instants.FromUnixMs(reminder.SendMs ?? reminder.RemindMs),
            Subject = $"Pourwright: {FirstSentence(reminder.Text)}",
            Body = new TextPart("plain") { Text = Body(reminder) },
        };
        message.From.Add(sender);
        message.To.Add(MailboxAddress.Parse(address));
        // RFC 3834: keeps holiday answers away.
        message.Headers.Add(HeaderId.AutoSubmitted, "auto-generated");
        return message;
    }

    /// <summary>To one person it is news: there is nothing to acknowledge, and no next in line.</summary>
    private static string Body(ReminderRecord reminder) => reminder.Recipient.Length > 0
        ? $"{reminder.Text}\n"
        : $"""
        {(reminder.EscalateMs is null ? "" : "Nobody has acknowledged this yet; it comes to you as the next in line.\n\n")}{reminder.Text}

        Acknowledge it, so that nobody else is called: {reminder.Name}

        """;

    private static string FirstSentence(string text) => text.IndexOf(". ", StringComparison.Ordinal) is var end and > 0 ? text[..end] : text;

    private async Task HandInAsync(MimeMessage message, CancellationToken ct)
    {
        using var client = new SmtpClient();
        await client.ConnectAsync(_mail.Host, _mail.Port, _mail.Security, ct);
        if (_mail.User.Length > 0) await client.AuthenticateAsync(_mail.User, _mail.Password, ct);
        await client.SendAsync(message, ct);
        // The server has taken it: a failing goodbye is no reason to send it again.
        await client.DisconnectAsync(quit: true, ct).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }
}
