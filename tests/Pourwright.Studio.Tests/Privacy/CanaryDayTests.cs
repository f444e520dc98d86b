using System.Collections.Concurrent;
using System.Diagnostics;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Pourwright.Studio.Tests.Classes;
using Pourwright.Studio.Tests.Reminders;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Privacy;

/// <summary>A class from enrolment to hand-over and recall, with a student whose name stands in nothing else: what the node says of it while it works.</summary>
public sealed class CanaryDayTests : IAsyncLifetime
{
    /// <summary>Of the name, of the address, of the health note.</summary>
    private static readonly string[] Canaries = ["zyzzyva", "vuvuzela", "grobnik"];

    private const string Student = "studios/alder/students/person-one";

    private readonly ClassStudio _studio = new();

    private StudioHarness Node => _studio.Harness;

    public Task InitializeAsync() => _studio.InitializeAsync();

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task Day_PutsNothingPersonalIntoLogsSpansMessagesAndSubjects()
    {
        await using var mail = await MailSink.StartAsync();
        var log = new LogText();
        var spans = new ConcurrentQueue<string>();
        using var listener = new ActivityListener
        {
            ShouldListenTo = _ => true,
            Sample = (ref ActivityCreationOptions<ActivityContext> _) => ActivitySamplingResult.AllDataAndRecorded,
            ActivityStopped = activity => spans.Enqueue($"{activity.DisplayName} {string.Join(' ', activity.TagObjects)}"),
        };
        ActivitySource.AddActivityListener(listener);
        await Node.RestartAsync(
            services => services.AddSingleton<ILoggerProvider>(log).Configure<LoggerFilterOptions>(filter =>
            {
                filter.Rules.Clear();
                filter.MinLevel = LogLevel.Trace;
            }),
            "--Reminders:Mail:Host=127.0.0.1", $"--Reminders:Mail:Port={mail.Port}", "--Reminders:Mail:Security=None");

        await TeachAsync();

        // That each of them was written at all; the address stands where a letter has it, and the name is in the store.
        Assert.Contains("RecordPour", log.Text, StringComparison.Ordinal);
        Assert.NotEmpty(spans);
        Assert.Contains(mail.Received, letter => $"{letter.To}".Contains("vuvuzela", StringComparison.Ordinal));
        Assert.Equal("Zyzzyva Quill", (await _studio.Students.GetStudentAsync(new() { Name = Student })).DisplayName);
        var messages = Node.Reads.Read(session => session.Query<string>("SELECT kind || body || coalesce(last_error, '') FROM outbox"));
        Assert.True(messages.Count >= 5, $"{messages.Count} messages");

        foreach (var word in Canaries)
        {
            Assert.DoesNotContain(word, log.Text, StringComparison.OrdinalIgnoreCase);
            Assert.All(spans, span => Assert.DoesNotContain(word, span, StringComparison.OrdinalIgnoreCase));
            Assert.All(messages, message => Assert.DoesNotContain(word, message, StringComparison.OrdinalIgnoreCase));
            Assert.All(mail.Received, letter => Assert.DoesNotContain(word, $"{letter.Subject} {letter.MessageId} {letter.TextBody}", StringComparison.OrdinalIgnoreCase));
        }
    }

    private async Task TeachAsync()
    {
        var pieces = new V1.PieceService.PieceServiceClient(Node.Channel);
        await _studio.AskAsync();
        await _studio.Students.CreateStudentAsync(new()
        {
            Parent = SampleStudio.Name, StudentId = "person-one", Student = new() { DisplayName = "Zyzzyva Quill", ContactEmail = "vuvuzela@post.example", ConsentToMessages = true },
        });
        await _studio.Students.EnrolStudentAsync(new() { Parent = ClassStudio.Trays, Student = Student });
        await new V1.PrivacyService.PrivacyServiceClient(Node.Channel).SetHealthNoteAsync(new() { Student = Student, Note = "grobnik: hands react", Consent = true });
        await _studio.Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await Node.SettleAsync();
        await SampleStudio.ReceiveLotsAsync(Node);
        var mix = await new V1.MixService.MixServiceClient(Node.Channel).RecordMixAsync(new()
        {
            Parent = SampleStudio.Name,
            Mix = new()
            {
                Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo",
                Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 1_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 420_000 } },
            },
        });
        var piece = await pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, Piece = new() { Site = SampleStudio.North, Label = "1", Maker = "Zyzzyva Quill", CastingClass = ClassStudio.Trays } });
        await pieces.RecordPourAsync(new() { Parent = piece.Name, Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 1_000_000, DepthMm = 30, Pourer = "Ivo" } });
        await Node.SettleAsync();
        await Node.AdvanceAsync(TimeSpan.FromDays(8));
        await pieces.RecordCheckAsync(new() { Parent = piece.Name, Check = new() { Touch = Check.Types.Touch.Firm, Checker = "Ivo" } });
        foreach (var kind in (Step.Types.Kind[])[Step.Types.Kind.Demold, Step.Types.Kind.Sand, Step.Types.Kind.Finish, Step.Types.Kind.HandOver])
            await pieces.RecordStepAsync(new() { Parent = piece.Name, Step = new() { Kind = kind, Worker = "Ivo" } });
        await new V1.RecallService.RecallServiceClient(Node.Channel).StartRecallAsync(
            new() { Parent = SampleStudio.Name, Scope = new() { Name = mix.Name }, Reason = "The lot stays soft", Starter = "Olive" });
        await Node.SettleAsync();
        await Node.AdvanceAsync(TimeSpan.FromHours(12));
        await new V1.PrivacyService.PrivacyServiceClient(Node.Channel).ExportPersonAsync(new() { Student = Student });
    }
}
