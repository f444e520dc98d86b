using System.Collections.Concurrent;
using System.Diagnostics;
using System.Text.Json;
using Google.Protobuf;
using Google.Rpc;
using Grpc.Core;
using Grpc.Core.Interceptors;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Time.Testing;
using Pourwright.Cli;
using Pourwright.Cli.Kernel;
using Pourwright.V1;

namespace Pourwright.Journeys.Cli;

/// <summary>How commands end, against a server that answers as it is told.</summary>
public sealed class CommandTests : IAsyncLifetime
{
    private const string Create = "studio create alder --name Alder";
    private readonly Told _told = new();
    private WebApplication _app = null!;

    public async Task InitializeAsync()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.Services.AddGrpc(grpc => grpc.Interceptors.Add<Heard>());
        builder.Services.AddSingleton(_told);
        builder.WebHost.UseUrls("http://127.0.0.1:0")
            .ConfigureKestrel(kestrel => kestrel.ConfigureEndpointDefaults(endpoint => endpoint.Protocols = HttpProtocols.Http2));
        _app = builder.Build();
        _app.MapGrpcService<ToldStudios>();
        _app.MapGrpcService<ToldReminders>();
        _app.MapGrpcService<ToldPrivacy>();
        _app.MapGrpcService<ToldPlans>();
        _app.MapGrpcService<ToldSites>();
        _app.MapGrpcService<ToldClasses>();
        _app.MapGrpcService<ToldExports>();
        _app.MapGrpcService<ToldAudit>();
        _app.MapGrpcService<ToldAccess>();
        _app.MapGrpcService<ToldCalendars>();
        _app.MapGrpcService<ToldStudentLinks>();
        await _app.StartAsync();
    }

    public async Task DisposeAsync() => await _app.DisposeAsync();

    [Fact]
    public async Task Write_WhoseAnswerIsLost_IsSentAgainWithTheSameRequestId()
    {
        _told.Answers.Enqueue(new RpcException(new(StatusCode.Unavailable, "restarting")));
        _told.Answers.Enqueue(new RpcException(new(StatusCode.Unavailable, "restarting")));

        var (code, _, error) = await Shell.RunAsync(Create);

        Assert.True(code == ExitCodes.Done, error);
        Assert.Equal(3, _told.RequestIds.Count);
        Assert.True(Guid.TryParse(Assert.Single(_told.RequestIds.Distinct()), out _));
    }

    [Fact]
    public async Task Write_Twice_TakesTwoRequestIds()
    {
        await Shell.DoAsync(Create);
        await Shell.DoAsync(Create);

        Assert.Equal(2, _told.RequestIds.Distinct().Count());
    }

    [Fact]
    public async Task Write_WithAGivenRequestId_RepeatsAnEarlierOne()
    {
        await Shell.DoAsync($"{Create} --request-id 7f1f6a52-95a4-4b42-8f53-9a3f3a4f9d11");

        Assert.Equal(["7f1f6a52-95a4-4b42-8f53-9a3f3a4f9d11"], _told.RequestIds);
    }

    [Theory]
    [InlineData(StatusCode.FailedPrecondition)]
    [InlineData(StatusCode.Internal)]
    [InlineData(StatusCode.Aborted)]
    [InlineData(StatusCode.ResourceExhausted)]
    public async Task Write_Refused_IsSentOnceAndEndsWith1(StatusCode code)
    {
        _told.Answers.Enqueue(new RpcException(new(code, "no")));

        Assert.Equal(ExitCodes.Refused, (await Shell.RunAsync(Create)).Code);
        Assert.Single(_told.RequestIds);
    }

    [Fact]
    public async Task Refusal_ShowsTheTextThenEachFieldThenTheReason()
    {
        _told.Answers.Enqueue(Refusal());

        var (code, output, error) = await Shell.RunAsync(Create);

        Assert.Equal(ExitCodes.Refused, code);
        Assert.Empty(output);
        Assert.Equal(
            ["REFUSED: The request is malformed.", "  studio.display_name: is too long.", "  studio_id: is not an id.", "FIELD_INVALID"],
            error.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.TrimEnd()));
    }

    [Fact]
    public async Task Refusal_ForAProgram_IsAStatusInJson()
    {
        _told.Answers.Enqueue(Refusal());

        var (_, _, error) = await Shell.RunAsync($"{Create} --json");

        var status = JsonDocument.Parse(error).RootElement;
        Assert.Equal(3, status.GetProperty("code").GetInt32());
        Assert.Equal("FIELD_INVALID", status.GetProperty("details")[0].GetProperty("reason").GetString());
    }

    [Fact]
    public async Task Answer_ForAProgram_IsItsMessageInJson()
    {
        var answer = JsonDocument.Parse(await Shell.DoAsync($"{Create} --json")).RootElement;

        Assert.Equal("studios/alder", answer.GetProperty("name").GetString());
    }

    [Fact]
    public async Task List_OfSeveralPages_IsPutTogether()
    {
        var answer = JsonDocument.Parse(await Shell.DoAsync("studio list --json")).RootElement;

        Assert.Equal(["studios/alder", "studios/birch", "studios/cedar"], answer.GetProperty("studios").EnumerateArray().Select(s => s.GetProperty("name").GetString()));
        Assert.False(answer.TryGetProperty("nextPageToken", out _));
    }

    [Fact]
    public async Task Studio_NotNamedAmongSeveral_IsAskedFor()
    {
        var (code, _, error) = await Shell.RunAsync("lot list");

        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains("alder, birch, cedar", error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("lot shw", "Unknown command 'shw'")]
    [InlineData("lot show", "missing required argument 'lot'")]
    [InlineData("lot show lot-a1 --quick", "Unknown option 'quick'")]
    [InlineData("container weigh can-a1 12", "needs a unit")]
    [InlineData("piece step piece-7 glue --by Ana", "move, demold, saw")]
    [InlineData("mix record --studio alder --site north --resin deep --draw can-a1=1kg", "Say who did it")]
    [InlineData("mix record --studio alder --site north --resin deep --draw 1kg --by Ana", "is not NAME=MASS")]
    [InlineData("lot receive --studio alder --site north --part a --code A1 --can 5kg --expires 05/01/2027", "'05/01/2027' is not a day")]
    [InlineData("recall start --studio alder --site north --reason soft --by Ana --day 05/01/2027", "'05/01/2027' is not a day")]
    [InlineData("instructor away ana --studio alder --from 05/01/2027", "'05/01/2027' is not a day")]
    [InlineData("instructor away ana --studio alder --from 2027-01-05 --to 06/01/2027", "'06/01/2027' is not a day")]
    [InlineData("student health mara --studio alder --consent yes", "--consent yes needs the note")]
    [InlineData("student health mara --studio alder --consent yes --note ''", "--consent yes needs the note")]
    [InlineData("student health mara --studio alder --note 'and latex'", "add --consent yes")]
    [InlineData("student health mara --studio alder --note 'and latex' --consent no", "add --consent yes")]
    [InlineData("plan season --studio alder --from 2027-01-04 --publish", "Say who did it")]
    [InlineData("plan replan --studio alder --site north --closed north --from 2027-01-11 --choose 1", "Say who did it")]
    [InlineData("plan replan --studio alder --site north --closed north --from 2027-01-11 --choose 0 --by Ana", "counted from 1")]
    [InlineData("drill run --studio alder --lot lot-a1 --by Ana --to drill.docx", "names no kind of page")]
    [InlineData("drill run --studio alder --lot lot-a1 --by Ana --to no-such-folder/drill.pdf", "no-such-folder")]
    [InlineData("evidence seal --studio alder --to no-such-folder/seal.json", "no-such-folder")]
    [InlineData("reading import north/logger-1 no-such-file.csv --studio alder --site north", "no-such-file.csv")]
    public async Task Command_WrittenWrongly_EndsWith2AndSendsNoWrite(string command, string says)
    {
        var (code, output, error) = await Shell.RunAsync(command);

        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains(says, output + error, StringComparison.Ordinal);
        Assert.Empty(_told.RequestIds);
    }

    [Theory]
    [InlineData("--note latex --consent yes", "latex", true)]
    [InlineData("--note ''", "", false)]
    [InlineData("--consent no", "", false)]
    public async Task HealthNote_IsForgottenOnlyWhereThatIsSaid(string said, string note, bool consents)
    {
        await Shell.RunAsync($"student health mara --studio alder {said}");

        var request = Assert.IsType<SetHealthNoteRequest>(Assert.Single(_told.Requests));
        Assert.Equal((note, consents), (request.Note, request.Consent));
    }

    // The server has kept one proposal: to end with 2 would say that nothing was recorded.
    [Fact]
    public async Task Choice_OfAProposalThatIsNotThere_EndsWith1AndSaysHowToChoose()
    {
        var (code, _, error) = await Shell.RunAsync("plan replan --studio alder --closed north --from 2027-01-11 --choose 2 --by Ana --json");

        Assert.Equal(ExitCodes.Refused, code);
        Assert.StartsWith("There is no proposal 2: 1 came of it", error, StringComparison.Ordinal);
    }

    // 9 / 1.8 = 5; as a temperature 9 °F are -12.8 °C.
    [Theory]
    [InlineData("plan replan --cold north --colder 9F --from 2027-01-11", "\"offsetCelsius\": -5 ")]
    [InlineData("site change north --dew-point-margin 9F", "\"dewPointMarginCelsius\": 5 ")]
    public async Task Difference_InFahrenheit_IsSentAsADifference(string command, string sent)
    {
        await Shell.RunAsync($"{command} --studio alder --json");

        Assert.Contains(sent, Assert.Single(_told.Requests).ToString(), StringComparison.Ordinal);
    }

    // Without a bound all of it is listed and a key is good for ever.
    [Theory]
    [InlineData("class sessions --from now", "startTime")]
    [InlineData("class sessions --until now", "endTime")]
    [InlineData("export csv --from now --to sheet.csv", "startTime")]
    [InlineData("audit list --from now", "startTime")]
    [InlineData("key create --role device --for Tablet --until now", "expireTime")]
    [InlineData("calendar open --student mia --until now", "expireTime")]
    [InlineData("student link boards/place-1 --until now", "expireTime")]
    public async Task Bound_OfNow_IsTheTimeOfTheClock(string command, string field)
    {
        var clock = new FakeTimeProvider(new(2026, 5, 3, 14, 0, 0, TimeSpan.Zero));

        await new Shell(_app.Urls.First(), clock).RunAsync($"{command} --studio alder");

        Assert.Contains($"\"{field}\": \"2026-05-03T14:00:00Z\"", Assert.Single(_told.Requests).ToString(), StringComparison.Ordinal);
    }

    // A program of its own: this one's variables are those of all tests.
    [Theory]
    [InlineData("class sessions", true)]
    [InlineData("class sessions --site south", false)]
    [InlineData("export csv --to sheet.csv", false)]
    [InlineData("calendar list", false)]
    public async Task Site_ThatIsSet_NarrowsListsButNothingGivenAway(string command, bool narrows)
    {
        // Under the frameworks of the tests: what they share with the program does not lie beside it.
        string[] program = ["exec", "--runtimeconfig", Path.ChangeExtension(typeof(CommandTests).Assembly.Location, ".runtimeconfig.json"), typeof(CommandLine).Assembly.Location];
        using var process = Process.Start(new ProcessStartInfo("dotnet", [.. program, .. command.Split(' '), "--studio", "alder", "--server", _app.Urls.First()])
        {
            Environment = { ["POURWRIGHT_SITE"] = "north" },
            RedirectStandardError = true,
        })!;
        var error = await process.StandardError.ReadToEndAsync();
        await process.WaitForExitAsync();

        Assert.True(_told.Requests.Count == 1, error);
        Assert.Equal(narrows, Assert.Single(_told.Requests).ToString()!.Contains("studios/alder/sites/north", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Noun_WithoutAVerb_ListsItsVerbsAndEndsWith2()
    {
        var (output, error) = (new StringWriter(), new StringWriter());

        Assert.Equal(ExitCodes.Usage, await CommandLine.RunAsync(["lot"], new(output, error, TimeProvider.System), default));
        Assert.Contains("receive", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Write_StoppedBeforeItsAnswer_EndsWith3AndSaysHowToRepeat()
    {
        using var stop = new CancellationTokenSource();
        _told.Stop = stop;

        var (code, _, error) = await Shell.RunAsync(Create, stop.Token);

        Assert.Equal(ExitCodes.ServerAway, code);
        Assert.Contains($"--request-id {Assert.Single(_told.RequestIds)}", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Watch_Stopped_EndsWith0()
    {
        using var stop = new CancellationTokenSource();
        using var output = new StopsAtFirstWord(stop);
        string[] watch = ["reminder", "watch", "--studio", "alder", "--json", "--server", _app.Urls.First()];

        Assert.Equal(ExitCodes.Done, await CommandLine.RunAsync(watch, new(output, TextWriter.Null, TimeProvider.System), stop.Token));
        Assert.Contains("studios/alder/reminders/first", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Server_ThatIsAway_EndsWith3AndSaysHowToRepeat()
    {
        // Port 9, discard: nothing listens there.
        var (code, _, error) = await new Shell("127.0.0.1:9", TimeProvider.System).RunAsync($"{Create} --request-id 7f1f6a52-95a4-4b42-8f53-9a3f3a4f9d11");

        Assert.Equal(ExitCodes.ServerAway, code);
        Assert.Contains("No answer from 127.0.0.1:9", error, StringComparison.Ordinal);
        Assert.Contains("--request-id 7f1f6a52-95a4-4b42-8f53-9a3f3a4f9d11", error, StringComparison.Ordinal);
    }

    private Shell Shell => new(_app.Urls.First(), TimeProvider.System);

    private static RpcException Refusal() => new Google.Rpc.Status
    {
        Code = (int)Code.InvalidArgument,
        Message = "The request is malformed.",
        Details =
        {
            Google.Protobuf.WellKnownTypes.Any.Pack(new ErrorInfo { Reason = "FIELD_INVALID", Domain = "pourwright" }),
            Google.Protobuf.WellKnownTypes.Any.Pack(new BadRequest
            {
                FieldViolations =
                {
                    new BadRequest.Types.FieldViolation { Field = "studio.display_name", Description = "is too long." },
                    new BadRequest.Types.FieldViolation { Field = "studio_id", Description = "is not an id." },
                },
            }),
        },
    }.ToRpcException();

    /// <summary>What the server is to answer, and what it was asked.</summary>
    internal sealed class Told
    {
        public ConcurrentQueue<RpcException> Answers { get; } = [];

        public ConcurrentQueue<string> RequestIds { get; } = [];

        public ConcurrentQueue<IMessage> Requests { get; } = [];

        /// <summary>Pressed, as Ctrl+C is, once the question has come; then no answer follows.</summary>
        public CancellationTokenSource? Stop { get; set; }
    }

    private sealed class ToldReminders : ReminderService.ReminderServiceBase
    {
        public override async Task WatchReminders(WatchRemindersRequest request, IServerStreamWriter<Reminder> responseStream, ServerCallContext context)
        {
            await responseStream.WriteAsync(new() { Name = "studios/alder/reminders/first" });
            await Gone(context);
        }
    }

    /// <summary>Keeps what was asked, whether or not anything answers it.</summary>
    private sealed class Heard(Told told) : Interceptor
    {
        public override Task<TResponse> UnaryServerHandler<TRequest, TResponse>(
            TRequest request, ServerCallContext context, UnaryServerMethod<TRequest, TResponse> continuation)
        {
            told.Requests.Enqueue((IMessage)request);
            return continuation(request, context);
        }

        public override Task ServerStreamingServerHandler<TRequest, TResponse>(
            TRequest request, IServerStreamWriter<TResponse> responseStream, ServerCallContext context, ServerStreamingServerMethod<TRequest, TResponse> continuation)
        {
            told.Requests.Enqueue((IMessage)request);
            return continuation(request, responseStream, context);
        }
    }

    private sealed class ToldClasses : ClassService.ClassServiceBase;

    private sealed class ToldExports : ExportService.ExportServiceBase;

    private sealed class ToldAudit : AuditService.AuditServiceBase;

    private sealed class ToldAccess : AccessService.AccessServiceBase;

    private sealed class ToldCalendars : CalendarService.CalendarServiceBase;

    private sealed class ToldStudentLinks : StudentLinkService.StudentLinkServiceBase;

    private sealed class ToldPlans : PlanService.PlanServiceBase
    {
        public override Task Replan(ReplanRequest request, IServerStreamWriter<PlanProgress> responseStream, ServerCallContext context) =>
            responseStream.WriteAsync(new() { Stage = PlanProgress.Types.Stage.Done, Proposals = { new Plan { Name = "studios/alder/plans/plan-1" } } });
    }

    private sealed class ToldPrivacy : PrivacyService.PrivacyServiceBase;

    private sealed class ToldSites : SiteService.SiteServiceBase;

    /// <summary>Ends when the client has hung up.</summary>
    private static Task Gone(ServerCallContext context)
    {
        var gone = new TaskCompletionSource();
        context.CancellationToken.Register(gone.SetResult);
        return gone.Task;
    }

    /// <summary>Presses Ctrl+C at the first word.</summary>
    private sealed class StopsAtFirstWord(CancellationTokenSource stop) : StringWriter
    {
        public override void Write(string? value)
        {
            base.Write(value);
            stop.Cancel();
        }
    }

    private sealed class ToldStudios(Told told) : StudioService.StudioServiceBase
    {
        public override async Task<V1.Studio> CreateStudio(CreateStudioRequest request, ServerCallContext context)
        {
            told.RequestIds.Enqueue(request.RequestId);
            if (told.Stop is { } stop)
            {
                await stop.CancelAsync();
                await Gone(context);
            }
            return told.Answers.TryDequeue(out var refusal)
                ? throw refusal
                : new V1.Studio { Name = $"studios/{request.StudioId}", DisplayName = request.Studio.DisplayName };
        }

        public override Task<ListStudiosResponse> ListStudios(ListStudiosRequest request, ServerCallContext context) =>
            Task.FromResult(request.PageToken == ""
                ? new ListStudiosResponse { Studios = { Named("alder"), Named("birch") }, NextPageToken = "second" }
                : new ListStudiosResponse { Studios = { Named("cedar") } });

        private static V1.Studio Named(string id) => new() { Name = $"studios/{id}" };
    }
}
