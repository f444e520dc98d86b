using System.Text;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Pourwright.Studio.Storage.Backups;
using Pourwright.Studio.Tests.Classes;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Privacy;

/// <summary>A student with a name that nothing else bears, who leaves a trace wherever the house keeps one, and is forgotten.</summary>
public sealed class ErasePersonTests : IAsyncLifetime
{
    private const string Student = "studios/alder/students/quokka-one";

    /// <summary>Words that stand in nothing else: of the name, the address, the note; then of the ids.</summary>
    private static readonly string[] Canaries = ["zephyrine", "xylograph", "grobnik"], Ids = ["quokka"];

    private readonly ClassStudio _studio = new();

    private StudioHarness Node => _studio.Harness;

    private V1.PrivacyService.PrivacyServiceClient Privacy => new(Node.Channel);

    private V1.PieceService.PieceServiceClient Pieces => new(Node.Channel);

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await _studio.AskAsync();
        await _studio.Students.CreateStudentAsync(new()
        {
            Parent = SampleStudio.Name, StudentId = "quokka-one", RequestId = Guid.NewGuid().ToString(),
            Student = new() { DisplayName = "Zephyrine Quill", ContactEmail = "xylograph@post.example", ConsentToMessages = true },
        });
        await _studio.Students.EnrolStudentAsync(new() { Parent = ClassStudio.Trays, Student = Student, EnrolmentId = "quokka" });
        await _studio.EnrolAsync("mia");
        await _studio.Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await Privacy.SetHealthNoteAsync(new() { Student = Student, Note = "grobnik: skin reacts to hardener", Consent = true, RequestId = Guid.NewGuid().ToString() });
        await new V1.CalendarService.CalendarServiceClient(Node.Channel).CreateCalendarLinkAsync(
            new() { Parent = SampleStudio.Name, CalendarLink = new() { Student = Student, DisplayName = "Zephyrine's phone" }, RequestId = Guid.NewGuid().ToString() });
        await SampleStudio.ReceiveLotsAsync(Node);
        await PieceAsync("piece-1", "Zephyrine Quill");
        await PieceAsync("piece-2", "mia");
        await PourAsync();
        await Node.SettleAsync();
        await new V1.RecallService.RecallServiceClient(Node.Channel).StartRecallAsync(
            new() { Parent = SampleStudio.Name, Scope = new() { Name = "studios/alder/lots/deep-a-lot" }, Reason = "The lot stays soft", Starter = "Olive", RecallId = "soft" });
        await Node.SettleAsync();
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    /// <summary>Found before in a dozen places, then in none: no table, no row of the outbox, no answer kept for repeats, no backup; nor the ids.</summary>
    [Fact]
    public async Task Erase_LeavesTheNameNowhere_AndTheChainHolds()
    {
        var seal = await SealAsync();
        var earlierCopy = Node.Store.IsFile ? Backup("before") : null;
        var before = Places();
        Assert.Superset(
            new HashSet<string> { "students", "enrolments", "health_notes", "calendar_links", "reminders", "deliveries", "pieces", "recall_notices", "recalls", "requests_seen" },
            before.Concat(Places(Ids)).Select(place => place.Split('.')[0]).ToHashSet());

        var done = await Privacy.ErasePersonAsync(new() { Student = Student, RequestId = Guid.NewGuid().ToString() });

        Assert.Empty(Places());
        Assert.Empty(Places(Ids));
        Assert.Equal(("studios/alder/pieces/piece-1", 0), (Assert.Single(done.Pieces), done.KeptPieces.Count));
        Assert.True(done.MessageCount > 0);
        Assert.Empty(await FaultsAsync(seal));
        if (!Node.Store.IsFile) return;
        var (earlier, later) = (earlierCopy!, Backup("after"));
        Assert.All(Canaries, word => Assert.Equal((true, false), (earlier.Contains(word, StringComparison.OrdinalIgnoreCase), later.Contains(word, StringComparison.OrdinalIgnoreCase))));
    }

    /// <summary>What was done to the student, from the first entry to the call of a tablet that has not heard of the erasure and asks for the id again.</summary>
    [Fact]
    public async Task Erase_LeavesInTheAuditWhoDidWhatWhen_AndNotToWhom()
    {
        await new V1.StudentLinkService.StudentLinkServiceClient(Node.Channel).CreateStudentLinkAsync(
            new() { Parent = SampleStudio.Name, StudentLinkId = "quokka-link", StudentLink = new() { Enrolment = $"{ClassStudio.Trays}/enrolments/quokka" } });
        var before = await AuditAsync(Student);
        Assert.Equal(["CreateCalendarLink", "SetHealthNote", "EnrolStudent", "CreateStudent"], before.Select(entry => entry.Method));
        Assert.Contains($"{ClassStudio.Trays}/enrolments/quokka", before[2].Names);
        Assert.Equal(["studios/alder/studentLinks/quokka-link"], (await AuditAsync("studios/alder/studentLinks/quokka-link")).Single().Names.Where(name => name.Contains("Link", StringComparison.Ordinal)));

        var done = await Privacy.ErasePersonAsync(new() { Student = Student });
        await Assert.ThrowsAsync<RpcException>(() => Privacy.SetHealthNoteAsync(new() { Student = Student, Note = "grobnik", Consent = true }).ResponseAsync);

        var after = await AuditAsync(done.Pseudonym);
        Assert.Equal(["ErasePerson", "CreateStudentLink", .. before.Select(entry => entry.Method)], after.Select(entry => entry.Method));
        Assert.Equal(before.Select(Who), after.Skip(2).Select(Who));
        Assert.Equal(["studios/alder/students/-"], Assert.Single(await AuditAsync("", "SetHealthNote"), entry => entry.Reason == "STUDENT_NOT_FOUND").Names);
        Assert.Empty(await AuditAsync(Student));
        Assert.Empty(Places(Ids));
        Assert.Empty(await FaultsAsync());

        static (string, V1.Role, DateTimeOffset, string, string) Who(AuditEntry entry) => (entry.AccessKey, entry.Role, entry.EntryTime.ToDateTimeOffset(), entry.Address, entry.RequestId);
    }

    [Fact]
    public async Task Erase_KeepsPiecesTracesRecallsAndSeats_UnderThePseudonym()
    {
        var done = await Privacy.ErasePersonAsync(new() { Student = Student });
        var person = done.Pseudonym.Split('/')[^1];

        Assert.Equal(person, (await Pieces.GetPieceAsync(new() { Name = "studios/alder/pieces/piece-1" })).Maker);
        Assert.Equal(person, (await new V1.TraceService.TraceServiceClient(Node.Channel).TracePieceAsync(new() { Name = "studios/alder/pieces/piece-1" })).Piece.Maker);
        var recall = await new V1.RecallService.RecallServiceClient(Node.Channel).GetRecallAsync(new() { Name = "studios/alder/recalls/soft" });
        Assert.Contains(recall.Notices, notice => notice.Person == person && notice.Student == done.Pseudonym && !notice.Reachable);
        Assert.Equal(person, recall.List.Pieces.Single(piece => piece.Piece.EndsWith("piece-1", StringComparison.Ordinal)).Holder);
        var roster = (await _studio.Students.ListEnrolmentsAsync(new() { Parent = ClassStudio.Trays })).Enrolments;
        Assert.Equal([person, "mia"], roster.Select(place => place.StudentDisplayName));
        Assert.Equal("mia", (await Pieces.GetPieceAsync(new() { Name = "studios/alder/pieces/piece-2" })).Maker);
        Assert.Equal("STUDENT_NOT_FOUND", (await Assert.ThrowsAsync<RpcException>(() => Privacy.ErasePersonAsync(new() { Student = Student }).ResponseAsync)).Reason());
    }

    /// <summary>Messages about the class are fewer afterwards, and the next ones still go out to all who come.</summary>
    [Fact]
    public async Task Erase_OfOneOfAClass_LeavesTheOthersToldOfItsDates()
    {
        await Privacy.ErasePersonAsync(new() { Student = Student });
        var before = _studio.Reminders(Reminder.Types.Kind.SessionsChanged).Count;
        var later = ClassStudio.Schedule(reason: "The hall is let");
        later.Sessions[1] = ClassStudio.Time(Session.Types.Kind.Machine, ClassStudio.Day(2026, 3, 7), 9);

        await _studio.Classes.ScheduleSessionsAsync(later);
        await Node.SettleAsync();

        Assert.Equal(["mia", "ana"], _studio.Reminders(Reminder.Types.Kind.SessionsChanged).Skip(before).Select(told => told.To));
    }

    [Fact]
    public async Task Erase_ShutsTheStudentsLinks()
    {
        var link = await new V1.StudentLinkService.StudentLinkServiceClient(Node.Channel).CreateStudentLinkAsync(
            new() { Parent = SampleStudio.Name, StudentLink = new() { Enrolment = $"{ClassStudio.Trays}/enrolments/quokka" } });
        using var channel = Node.OpenChannel(link.PagePath.Split('#')[1]);
        var own = new V1.OwnPageService.OwnPageServiceClient(channel);
        Assert.Single((await own.GetOwnPageAsync(new())).Pieces);

        var done = await Privacy.ErasePersonAsync(new() { Student = Student });

        Assert.Equal(1, done.LinkCount);
        Assert.Equal("KEY_NOT_ACCEPTED", (await Assert.ThrowsAsync<RpcException>(() => own.GetOwnPageAsync(new()).ResponseAsync)).Reason());
    }

    [Fact]
    public async Task Erase_AskedFirst_ForgetsNothing()
    {
        var done = await Privacy.ErasePersonAsync(new() { Student = Student, ValidateOnly = true });

        Assert.Equal("studios/alder/pieces/piece-1", Assert.Single(done.Pieces));
        Assert.NotEmpty(Places());
        Assert.Equal("Zephyrine Quill", (await _studio.Students.GetStudentAsync(new() { Name = Student })).DisplayName);
    }

    /// <summary>Of two of one name in the class nobody knows whose a piece is, until somebody says so.</summary>
    [Fact]
    public async Task Erase_OfANamesake_KeepsPiecesThatMayBeTheOthers_UnlessTheyAreNamed()
    {
        var other = await _studio.Students.CreateStudentAsync(new() { Parent = SampleStudio.Name, StudentId = "second", Student = new() { DisplayName = "zephyrine quill" } });
        await _studio.Students.EnrolStudentAsync(new() { Parent = ClassStudio.Trays, Student = other.Name, EnrolmentId = "second" });

        var kept = await Privacy.ErasePersonAsync(new() { Student = Student, ValidateOnly = true });
        var named = await Privacy.ErasePersonAsync(new() { Student = Student, Pieces = { "studios/alder/pieces/piece-1" } });
        var foreign = await Assert.ThrowsAsync<RpcException>(() => Privacy.ErasePersonAsync(new() { Student = other.Name, Pieces = { "studios/alder/pieces/piece-2" } }).ResponseAsync);

        Assert.Equal((0, "studios/alder/pieces/piece-1"), (kept.Pieces.Count, Assert.Single(kept.KeptPieces)));
        Assert.Equal(("studios/alder/pieces/piece-1", 0), (Assert.Single(named.Pieces), named.KeptPieces.Count));
        Assert.Equal("FIELD_INVALID", foreign.Reason());
    }

    /// <summary>Of two of one name in the class neither is shown a piece; a new name of one, and their being forgotten, tell nobody whose it was.</summary>
    [Fact]
    public async Task Erase_OfANamesakeWhoWasRenamed_ShowsTheOtherNoPieceOfTheirs()
    {
        var other = await _studio.Students.CreateStudentAsync(new() { Parent = SampleStudio.Name, StudentId = "second", Student = new() { DisplayName = "zephyrine quill" } });
        await _studio.Students.EnrolStudentAsync(new() { Parent = ClassStudio.Trays, Student = other.Name, EnrolmentId = "second" });
        var link = await new V1.StudentLinkService.StudentLinkServiceClient(Node.Channel).CreateStudentLinkAsync(
            new() { Parent = SampleStudio.Name, StudentLink = new() { Enrolment = $"{ClassStudio.Trays}/enrolments/second" } });
        using var channel = Node.OpenChannel(link.PagePath.Split('#')[1]);
        var own = new V1.OwnPageService.OwnPageServiceClient(channel);

        await RenameAsync("Zephyrine Orr");
        var renamed = (await own.GetOwnPageAsync(new())).Pieces.Count;
        var done = await Privacy.ErasePersonAsync(new() { Student = Student });

        Assert.Equal((0, "studios/alder/pieces/piece-1"), (renamed, Assert.Single(done.KeptPieces)));
        Assert.Empty((await own.GetOwnPageAsync(new())).Pieces);
        Assert.Equal("studios/alder/pieces/piece-1", Assert.Single((await Privacy.ErasePersonAsync(new() { Student = other.Name, ValidateOnly = true })).KeptPieces));
    }

    /// <summary>What somebody was called before is a name of theirs as well.</summary>
    [Fact]
    public async Task Erase_AfterARename_ForgetsTheFormerNameToo()
    {
        await RenameAsync("Mara Orr");
        Assert.Equal(["Zephyrine Quill"], (await Privacy.ExportPersonAsync(new() { Student = Student })).FormerNames);

        var done = await Privacy.ErasePersonAsync(new() { Student = Student });

        Assert.Equal("studios/alder/pieces/piece-1", Assert.Single(done.Pieces));
        Assert.Empty(Places());
        Assert.Empty(await FaultsAsync());
    }

    private async Task RenameAsync(string name) => await _studio.Students.UpdateStudentAsync(
        new() { Student = new() { Name = Student, DisplayName = name }, UpdateMask = new() { Paths = { "display_name" } } });

    /// <summary>A label may bear the id for a name, as recalls take it; or other words, where the house gave the student a link to the piece.</summary>
    [Fact]
    public async Task Erase_ReachesPiecesByTheIdAndByALink_AndNoneOfAnother()
    {
        await PieceAsync("piece-3", "Quokka-one");
        await PieceAsync("piece-4", "Zephy");
        await PieceAsync("piece-5", "mia");
        var links = new V1.StudentLinkService.StudentLinkServiceClient(Node.Channel);
        foreach (var piece in (string[])["piece-4", "piece-5"])
            await links.CreateStudentLinkAsync(new() { Parent = SampleStudio.Name, StudentLink = new() { Piece = $"studios/alder/pieces/{piece}", Student = Student } });

        var exported = await Privacy.ExportPersonAsync(new() { Student = Student });
        var done = await Privacy.ErasePersonAsync(new() { Student = Student });

        string[] theirs = ["studios/alder/pieces/piece-1", "studios/alder/pieces/piece-3", "studios/alder/pieces/piece-4"];
        Assert.Equal(theirs, exported.Pieces.Select(piece => piece.Name));
        Assert.Equal(theirs, done.Pieces);
        Assert.Equal(["studios/alder/pieces/piece-5"], done.KeptPieces);
        Assert.Equal("mia", (await Pieces.GetPieceAsync(new() { Name = "studios/alder/pieces/piece-5" })).Maker);
        Assert.Empty(Places(Ids));
        Assert.Empty(await FaultsAsync());
    }

    /// <summary>A recall that did not know which of two of one name made a piece keeps the name alone: it goes once the piece is said to be theirs.</summary>
    [Fact]
    public async Task Erase_OfANamesake_ReachesNoticesThatKnewNobody()
    {
        await _studio.Students.CreateStudentAsync(new() { Parent = SampleStudio.Name, StudentId = "second", Student = new() { DisplayName = "zephyrine quill" } });
        var recalls = new V1.RecallService.RecallServiceClient(Node.Channel);
        await recalls.CloseRecallAsync(new() { Name = "studios/alder/recalls/soft", Outcome = "all hard", Closer = "Olive", Release = true });
        await PieceAsync("piece-3", "Zephyrine Quill", castingClass: "");
        await PourAsync("studios/alder/pieces/piece-3");
        var recall = await recalls.StartRecallAsync(
            new() { Parent = SampleStudio.Name, Scope = new() { Name = "studios/alder/pieces/piece-3" }, Reason = "This one is soft", Starter = "Olive" });
        Assert.Equal("", Assert.Single(recall.Notices, notice => notice.Pieces.SequenceEqual(["studios/alder/pieces/piece-3"])).Student);

        var done = await Privacy.ErasePersonAsync(new() { Student = Student, Pieces = { "studios/alder/pieces/piece-3" } });

        var after = await recalls.GetRecallAsync(new() { Name = recall.Name });
        Assert.DoesNotContain(after.Notices, notice => notice.Person.StartsWith("Zephyrine", StringComparison.Ordinal));
        Assert.Equal(0, Node.Reads.Read(session => session.Scalar<long>("SELECT count(*) FROM recall_notices WHERE recipient LIKE 'Zephyrine%' OR person LIKE 'Zephyrine%'")));
        Assert.NotEqual("", done.Pseudonym);
        Assert.Empty(await FaultsAsync());
    }

    /// <summary>Whoever writes into the store: another name, a salt taken away without an erasure, a name put back after one.</summary>
    [Theory]
    [InlineData("UPDATE pieces SET maker = 'Zed' WHERE name LIKE '%piece-2'", "maker is not what was recorded")]
    [InlineData("UPDATE pieces SET maker = 'person-aaaa-bbbb', seal_salt = NULL WHERE name LIKE '%piece-2'", "no erasure says so")]
    [InlineData("UPDATE pieces SET maker = 'Quokka' WHERE name LIKE '%piece-1'", "no erasure says so")]
    [InlineData("UPDATE audit_entries SET names = 'studios/alder/students/mia' WHERE method = 'EnrolStudent' AND names LIKE '%person-%'", "no erasure says so")]
    [InlineData("UPDATE audit_entries SET access_key = 'accessKeys/zed' WHERE method = 'EnrolStudent' AND names LIKE '%/mia%'", "access_key is not what was recorded")]
    [InlineData("UPDATE recall_notices SET email = 'zed@post.example' WHERE email LIKE 'mia%'", "email is not what was recorded")]
    public async Task Verify_FindsWhatIsNoErasure(string tampering, string finding)
    {
        await Privacy.ErasePersonAsync(new() { Student = Student });
        Assert.Empty(await FaultsAsync());

        Assert.True(await Node.Writer.WriteAsync(tx => tx.ExecuteCounted(tampering)) > 0);

        Assert.Contains(finding, Assert.Single(await FaultsAsync()), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Export_HoldsAllThatNamesTheStudent()
    {
        var record = await Privacy.ExportPersonAsync(new() { Student = Student });

        Assert.Equal(("Zephyrine Quill", "xylograph@post.example"), (record.Student.DisplayName, record.Student.ContactEmail));
        Assert.StartsWith("grobnik", record.HealthNote.Note, StringComparison.Ordinal);
        Assert.Equal("studios/alder/pieces/piece-1", Assert.Single(record.Pieces).Name);
        Assert.Equal((1, 1, 1), (record.Enrolments.Count, record.CalendarLinks.Count, record.RecallNotices.Count));
        Assert.NotEmpty(record.Reminders);
        Assert.DoesNotContain("mia", $"{record}", StringComparison.OrdinalIgnoreCase);
    }

    /// <summary>The last session ends on 28 February 2026; 730 days later the student is proposed, and goes by itself only where the node is set to.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Retention_ProposesAndErasesOnlyWhereSet(bool byItself)
    {
        await Node.RestartAsync(null, $"--Students:EraseByItself={byItself}");
        await _studio.GoToAsync("2028-02-27T00:00");
        Assert.Empty((await Privacy.ListErasureProposalsAsync(new() { Parent = SampleStudio.Name })).ErasureProposals);
        await _studio.GoToAsync("2028-02-29T00:00");

        var proposed = (await Privacy.ListErasureProposalsAsync(new() { Parent = SampleStudio.Name })).ErasureProposals;
        Assert.Equal(byItself ? [] : ["studios/alder/students/mia", Student], proposed.Select(one => one.Student));
        Assert.Equal(byItself, Places().Count == 0);
    }

    [Fact]
    public async Task Erase_WritesNoNameIntoTheLog()
    {
        var log = new LogText();
        await Node.RestartAsync(services => services.AddSingleton<ILoggerProvider>(log).Configure<LoggerFilterOptions>(filter =>
        {
            filter.Rules.Clear();
            filter.MinLevel = LogLevel.Trace;
        }));
        await Privacy.GetHealthNoteAsync(new() { Student = Student });
        await Privacy.ErasePersonAsync(new() { Student = Student });

        Assert.Contains("ErasePerson", log.Text, StringComparison.Ordinal);
        Assert.All(Canaries, word => Assert.DoesNotContain(word, log.Text, StringComparison.OrdinalIgnoreCase));
    }

    /// <summary>Every column of every table that holds one of the words.</summary>
    private HashSet<string> Places() => Places(Canaries);

    private HashSet<string> Places(string[] words) => Node.Reads.Read(session =>
    {
        var columns = session.Query<string>(Node.Store.IsFile
            ? "SELECT t.name || '.' || c.name FROM sqlite_schema t, pragma_table_info(t.name) c WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite%'"
            : "SELECT CAST(table_name || '.' || column_name AS TEXT) FROM information_schema.columns WHERE table_schema = 'public' AND data_type IN ('text', 'bytea')");
        return columns.Where(column => words.Any(word => Holds(column, word))).ToHashSet();

        bool Holds(string place, string word)
        {
            var (table, column) = (place.Split('.')[0], place.Split('.')[1]);
            if (place == "requests_seen.answer")
                return session.Query<byte[]>("SELECT answer FROM requests_seen").Any(answer => Encoding.Latin1.GetString(answer).Contains(word, StringComparison.OrdinalIgnoreCase));
            return session.Scalar<long>($"SELECT count(*) FROM {table} WHERE lower(CAST({column} AS TEXT)) LIKE @like", new { like = $"%{word}%" }) > 0;
        }
    });

    /// <summary>The bytes of a backup, its free pages too.</summary>
    private string Backup(string name)
    {
        var copy = Path.Combine(Node.Folder, $"{name}.db");
        Assert.Empty(FileBackup.Take(Node.Store.Address, copy, _ => []));
        return Encoding.Latin1.GetString(File.ReadAllBytes(copy));
    }

    private async Task<IReadOnlyList<AuditEntry>> AuditAsync(string subject, string method = "") =>
        (await new V1.AuditService.AuditServiceClient(Node.Channel).ListAuditEntriesAsync(new() { Parent = SampleStudio.Name, Subject = subject, Method = method })).AuditEntries;

    private async Task<string> SealAsync()
    {
        var seals = new V1.SealService.SealServiceClient(Node.Channel);
        var seal = await seals.CreateSealAsync(new() { Parent = SampleStudio.Name });
        return (await seals.ExportSealAsync(new() { Name = seal.Name })).Data.ToStringUtf8();
    }

    private async Task<IReadOnlyList<string>> FaultsAsync(string kept = "")
    {
        using var call = new V1.SealService.SealServiceClient(Node.Channel).VerifyEvidence(new() { Parent = SampleStudio.Name, KeptSeal = kept });
        List<string> faults = [];
        await foreach (var step in call.ResponseStream.ReadAllAsync())
            if (step.Fault is { } fault) faults.Add(fault.Finding);
        return faults;
    }

    private async Task PieceAsync(string id, string maker, string castingClass = ClassStudio.Trays) => await Pieces.CreatePieceAsync(new()
    {
        Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = SampleStudio.North, Label = id[^1..], Maker = maker, CastingClass = castingClass }, RequestId = Guid.NewGuid().ToString(),
    });

    /// <summary>All are poured from one mix, and handed over; both of the class where none is named.</summary>
    private async Task PourAsync(params string[] pieces)
    {
        var mix = await new V1.MixService.MixServiceClient(Node.Channel).RecordMixAsync(new()
        {
            Parent = SampleStudio.Name,
            Mix = new()
            {
                Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo",
                Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 2_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 840_000 } },
            },
        });
        foreach (var piece in pieces.Length > 0 ? pieces : ["studios/alder/pieces/piece-1", "studios/alder/pieces/piece-2"])
        {
            await Pieces.RecordPourAsync(new() { Parent = piece, Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 1_000_000, DepthMm = 30, Pourer = "Ivo" } });
            await Pieces.RecordStepAsync(new() { Parent = piece, Step = new() { Kind = Step.Types.Kind.Demold, Worker = "Ivo" } });
            await Pieces.RecordStepAsync(new() { Parent = piece, Step = new() { Kind = Step.Types.Kind.HandOver, Worker = "Ivo" } });
        }
    }
}
