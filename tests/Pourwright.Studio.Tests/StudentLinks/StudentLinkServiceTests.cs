using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Pourwright.Studio.Access;
using Pourwright.Studio.Tests.Classes;
using Pourwright.Studio.Tests.Privacy;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.StudentLinks;

/// <summary>Links on a running node: made, shown once, good for what is one student's and for nothing else.</summary>
public sealed class StudentLinkServiceTests : IAsyncLifetime
{
    private readonly ClassStudio _studio = new();

    private StudioHarness Node => _studio.Harness;

    private V1.StudentLinkService.StudentLinkServiceClient Links => new(Node.Channel);

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await _studio.AskAsync();
        await _studio.Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.EnrolAsync("mia");
        await _studio.EnrolAsync("xanthippe");
        await SampleStudio.ReceiveLotsAsync(Node);
        await PieceAsync("piece-1", "mia");
        await PieceAsync("piece-2", "xanthippe");
        await MixAsync();
        await PourAsync("piece-1");
        await PourAsync("piece-2");
        await Node.SettleAsync();
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task Create_ShowsThePathOnce_AndExpiresWeeksAfterTheLastSession()
    {
        var requestId = Guid.NewGuid().ToString();
        var link = await MakeAsync(new() { Enrolment = $"{ClassStudio.Trays}/enrolments/mia" }, requestId);
        var repeat = await MakeAsync(new() { Enrolment = $"{ClassStudio.Trays}/enrolments/mia" }, requestId);

        Assert.Equal((link.Name, ""), (repeat.Name, repeat.PagePath));
        Assert.Equal("", (await Links.GetStudentLinkAsync(new() { Name = link.Name })).PagePath);
        Assert.Equal("", Assert.Single((await Links.ListStudentLinksAsync(new() { Parent = SampleStudio.Name })).StudentLinks).PagePath);
        // 256 bits are 43 letters of base64url: 43 · 6 = 258.
        Assert.Equal("/mine#pws_".Length + 43, link.PagePath.Length);
        Assert.Equal(("studios/alder/students/mia", ""), (link.Student, string.Concat(link.Cautions.Select(caution => caution.Reason))));
        var machine = (await _studio.Classes.GetSessionAsync(new() { Name = $"{ClassStudio.Trays}/sessions/machine" })).EndTime;
        Assert.Equal(TimeSpan.FromDays(56), (link.ExpireTime - machine).ToTimeSpan());
    }

    [Theory]
    [InlineData("enrolment")]
    [InlineData("piece")]
    public async Task Page_ShowsOwnSessionsAndPieces(string scope)
    {
        var page = await OwnPageAsync(await MakeAsync(Of(scope)));

        Assert.Equal(("Alder", "Trays in February"), (page.StudioDisplayName, page.ClassDisplayName));
        Assert.Equal([Session.Types.Kind.Pour, Session.Types.Kind.Machine], page.Sessions.Select(session => session.Kind));
        Assert.Equal(("north", "Europe/Lisbon", false), (page.Sessions[0].SiteDisplayName, page.Sessions[0].TimeZone, page.Sessions[0].Cancelled));
        var piece = Assert.Single(page.Pieces);
        Assert.Equal(("studios/alder/pieces/piece-1", Piece.Types.State.Curing), (piece.Name, piece.State));
        Assert.Equal([Gate.Demold, Gate.Handle, Gate.Sand], piece.Gates.Select(gate => gate.Gate));
        Assert.True(piece.Gates[0].SafeTime < piece.Gates[2].SafeTime);
        Assert.Equal(page.Sessions[1].StartTime, piece.PlannedSessionTime);
        Assert.Contains(OwnPiece.Types.Note.Uncured, piece.Notes);
    }

    /// <summary>Every value of every answer, whichever link: nobody else's name, nothing of lots, contacts, staff and what they wrote.</summary>
    [Theory]
    [InlineData("enrolment")]
    [InlineData("piece")]
    public async Task Page_HoldsNothingForeign(string scope)
    {
        await new V1.PieceService.PieceServiceClient(Node.Channel).HoldPieceAsync(new() { Name = "studios/alder/pieces/piece-1", Reason = "Zebedee saw quixotic bubbles", Person = "Zebedee" });
        var page = await OwnPageAsync(await MakeAsync(Of(scope)));
        Assert.Contains(OwnPiece.Types.Note.Held, page.Pieces[0].Notes);

        // First that these words are there to be leaked.
        var house = $"{await new V1.PieceService.PieceServiceClient(Node.Channel).ListPiecesAsync(new() { Parent = SampleStudio.Name })}"
            + $"{await _studio.Students.ListStudentsAsync(new() { Parent = SampleStudio.Name })}{await new V1.LotService.LotServiceClient(Node.Channel).ListLotsAsync(new() { Parent = SampleStudio.Name })}"
            + $"{await new V1.SiteService.SiteServiceClient(Node.Channel).GetSiteAsync(new() { Name = SampleStudio.North })}{await _studio.Classes.GetCastingClassAsync(new() { Name = ClassStudio.Trays })}";
        Assert.All((string[])["xanthippe", "post.example", "deep-a-lot", "Harbour", "olive@", "instructors/ana", "Zebedee", "quixotic"], word =>
        {
            Assert.Contains(word, house, StringComparison.OrdinalIgnoreCase);
            Assert.DoesNotContain(word, $"{page}", StringComparison.OrdinalIgnoreCase);
        });
    }

    /// <summary>What could leak is text. These are all the fields of an answer that hold any.</summary>
    [Fact]
    public void Page_HasNoOtherTextThanTitlesLabelsAndZones() => Assert.Equal(
        [
            "OwnPage.class_display_name", "OwnPage.studio_display_name", "OwnPiece.label", "OwnPiece.name", "OwnPiece.site_display_name", "OwnPiece.time_zone",
            "OwnSession.site_display_name", "OwnSession.time_zone",
        ],
        Texts(OwnPage.Descriptor).Distinct().Order(StringComparer.Ordinal));

    [Fact]
    public async Task Link_OpensNothingElse_AndKeysOfTheHouseDoNotOpenIt()
    {
        using var channel = Node.OpenChannel(SecretOf(await MakeAsync(Of("enrolment"))));
        var own = await Assert.ThrowsAsync<RpcException>(() => new V1.PieceService.PieceServiceClient(channel).GetPieceAsync(new() { Name = "studios/alder/pieces/piece-1" }).ResponseAsync);
        var house = await Assert.ThrowsAsync<RpcException>(() => new V1.OwnPageService.OwnPageServiceClient(Node.Channel).GetOwnPageAsync(new()).ResponseAsync);

        Assert.Equal((StatusCode.PermissionDenied, StatusCode.PermissionDenied), (own.StatusCode, house.StatusCode));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Link_RevokedOrExpired_IsRefusedAtOnce(bool revoked)
    {
        var link = await MakeAsync(Of("piece"));
        await OwnPageAsync(link);

        if (revoked) await Links.RevokeStudentLinkAsync(new() { Name = link.Name });
        else Node.Clock.SetUtcNow(link.ExpireTime.ToDateTimeOffset());

        Assert.Equal("KEY_NOT_ACCEPTED", (await Assert.ThrowsAsync<RpcException>(() => OwnPageAsync(link))).Reason());
    }

    [Fact]
    public async Task Guesses_AllMiss_AndAreAllToldTheSame()
    {
        await MakeAsync(Of("piece"));
        HashSet<string> told = [];
        for (var guess = 0; guess < 2000; guess++)
        {
            var secret = guess % 2 == 0 ? $"{Secrets.StudentPrefix}{System.Security.Cryptography.RandomNumberGenerator.GetHexString(43)}" : $"{Secrets.StudentPrefix}{guess}";
            var refusal = await Assert.ThrowsAsync<RpcException>(() => OwnPageAsync(new() { PagePath = $"/mine#{secret}" }));
            told.Add($"{refusal.StatusCode} {refusal.Status.Detail}");
        }

        Assert.StartsWith("Unauthenticated", Assert.Single(told), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Namesakes_SeeTheirSessionsAlone_AndTheHouseIsTold()
    {
        var second = await _studio.Students.CreateStudentAsync(new() { Parent = SampleStudio.Name, StudentId = "mia-two", Student = new() { DisplayName = "MIA" } });
        await _studio.Students.EnrolStudentAsync(new() { Parent = ClassStudio.Trays, Student = second.Name, EnrolmentId = "mia-two" });
        var link = await MakeAsync(Of("enrolment"));
        var page = await OwnPageAsync(link);

        Assert.Equal("NAME_SHARED", Assert.Single(link.Cautions).Reason);
        Assert.Equal((2, 0), (page.Sessions.Count, page.Pieces.Count));
        Assert.Single((await OwnPageAsync(await MakeAsync(Of("piece")))).Pieces);
    }

    [Fact]
    public async Task Place_GivenBack_ShowsNoSessionsAnyMore_AndTakesNoLink()
    {
        var link = await MakeAsync(Of("enrolment"));
        await _studio.Students.WithdrawEnrolmentAsync(new() { Name = $"{ClassStudio.Trays}/enrolments/mia" });

        Assert.Empty((await OwnPageAsync(link)).Sessions);
        Assert.Equal("ENROLMENT_STATE", (await Assert.ThrowsAsync<RpcException>(() => MakeAsync(Of("enrolment")))).Reason());
    }

    [Fact]
    public async Task Secret_StandsInNoLogAndNoTable()
    {
        var log = new LogText();
        await Node.RestartAsync(services => services.AddSingleton<ILoggerProvider>(log).Configure<LoggerFilterOptions>(filter =>
        {
            filter.Rules.Clear();
            filter.MinLevel = LogLevel.Trace;
        }));
        var link = await MakeAsync(Of("piece"), Guid.NewGuid().ToString());
        await OwnPageAsync(link);
        await Links.RevokeStudentLinkAsync(new() { Name = link.Name });
        await Assert.ThrowsAsync<RpcException>(() => OwnPageAsync(link));

        // That the log writes what is done, and not of what.
        Assert.Contains("GetOwnPage", log.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(SecretOf(link), log.Text, StringComparison.Ordinal);
        Assert.Equal(0, Node.Reads.Read(session => session.Scalar<long>("SELECT count(*) FROM student_links WHERE name || coalesce(student, '') LIKE '%pws%'")));
        Assert.All(Node.Reads.Read(session => session.Query<byte[]>("SELECT answer FROM requests_seen")),
            answer => Assert.DoesNotContain(Secrets.StudentPrefix, System.Text.Encoding.Latin1.GetString(answer), StringComparison.Ordinal));
    }

    private static StudentLink Of(string scope) => scope == "piece" ? new() { Piece = "studios/alder/pieces/piece-1" } : new() { Enrolment = $"{ClassStudio.Trays}/enrolments/mia" };

    private async Task<StudentLink> MakeAsync(StudentLink link, string requestId = "") =>
        await Links.CreateStudentLinkAsync(new() { Parent = SampleStudio.Name, StudentLink = link, RequestId = requestId });

    private async Task<OwnPage> OwnPageAsync(StudentLink link)
    {
        using var channel = Node.OpenChannel(SecretOf(link));
        return await new V1.OwnPageService.OwnPageServiceClient(channel).GetOwnPageAsync(new());
    }

    private static string SecretOf(StudentLink link) => link.PagePath.Split('#')[1];

    private static IEnumerable<string> Texts(MessageDescriptor message) => message.Fields.InDeclarationOrder().SelectMany(field =>
        field.FieldType is FieldType.String or FieldType.Bytes ? [$"{message.Name}.{field.Name}"]
        : field.FieldType == FieldType.Message && field.MessageType != Timestamp.Descriptor ? Texts(field.MessageType)
        : []);

    private async Task PieceAsync(string id, string maker) => await new V1.PieceService.PieceServiceClient(Node.Channel).CreatePieceAsync(new()
    {
        Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = SampleStudio.North, Label = id[^1..], Maker = maker, CastingClass = ClassStudio.Trays },
    });

    private async Task MixAsync() => await new V1.MixService.MixServiceClient(Node.Channel).RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        MixId = "mix-1",
        Mix = new()
        {
            Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Zebedee",
            Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 2_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 840_000 } },
        },
    });

    private async Task PourAsync(string piece) => await new V1.PieceService.PieceServiceClient(Node.Channel).RecordPourAsync(new()
    {
        Parent = $"studios/alder/pieces/{piece}", Pour = new() { Mix = "studios/alder/mixes/mix-1", Bench = SampleStudio.NorthBench, MassMg = 1_000_000, DepthMm = 30, Pourer = "Zebedee" },
    });
}
