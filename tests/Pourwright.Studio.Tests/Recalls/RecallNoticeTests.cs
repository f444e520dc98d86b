using Pourwright.Studio.Reminders;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using Answer = Pourwright.V1.RecallNotice.Types.Answer;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Tests.Recalls;

/// <summary>Who is told, when, how often, and what is known of their answers. The recall starts at 09:00.</summary>
public sealed class RecallNoticeTests : IAsyncLifetime
{
    private readonly RecallStudio _studio = new();

    public Task InitializeAsync() => _studio.InitializeAsync();

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task Start_AsADryRun_TellsNobodyAndHoldsNothing_ThenDoes()
    {
        var dry = await _studio.StartAsync(validateOnly: true);
        await _studio.SweepAsync<DueReminders>();
        Assert.Equal((0, 0, 0, 0), (_studio.Told(Kind.Recall).Count, (int)_studio.Count("recalls"), (int)_studio.Count("piece_holds"), (int)_studio.Count("deliveries")));

        var recall = await _studio.StartAsync();

        // Mia agreed to messages, of the contacts two have an address. Nothing has gone out before the sweep.
        Assert.Equal(["mia", "Olive", "Ivo"], _studio.Told(Kind.Recall));
        Assert.Equal((0, 6, 3), (recall.Status.ToldCount, recall.Status.PersonCount, recall.Status.ReachableCount));
        Assert.Equal(dry.List.Pieces.Select(piece => piece.Piece), recall.List.Pieces.Select(piece => piece.Piece));
        await _studio.SweepAsync<DueReminders>();
        var told = await _studio.GetAsync();
        Assert.Equal((3, StudioHarness.Start), (told.Status.ToldCount, told.Status.TellTime.ToDateTimeOffset()));
        Assert.All(_studio.Reminders(Kind.Recall), reminder => Assert.Equal(Reminder.Types.State.Told, reminder.State));
        Assert.Equal(3, _studio.Count("deliveries"));
    }

    [Fact]
    public async Task Start_Repeated_TellsNobodyTwice()
    {
        const string id = "5c0f1f0e-6a3e-4d1b-9d0e-0c6f2b7a9e11";
        var first = await _studio.StartAsync(requestId: id);
        var again = await _studio.StartAsync(requestId: id);

        Assert.Equal(first, again);
        Assert.Equal(3, _studio.Told(Kind.Recall).Count);
    }

    [Fact]
    public async Task Notices_SayWhoCannotBeWrittenToAndWhy()
    {
        var recall = await _studio.StartAsync();

        Assert.Equal(
            [("mia", true, ""), ("somebody", false, "No student of this name is on record."), ("noa", false, "Did not agree to messages."),
                ("Olive", true, ""), ("Ivo", true, ""), ("Asa", false, "No e-mail address is recorded.")],
            recall.Notices.Select(notice => (notice.Person, notice.Reachable, notice.Obstacle.Length == 0 ? "" : notice.Obstacle[..(notice.Obstacle.IndexOf('.') + 1)]))
                .OrderBy(notice => notice.Person switch { "mia" => 0, "somebody" => 1, "noa" => 2, "Olive" => 3, "Ivo" => 4, _ => 5 }));
        Assert.Contains(recall.Gaps, gap => gap.Contains("1 maker of 1 piece cannot be written to. Did not agree", StringComparison.Ordinal));
        Assert.Equal(recall.Gaps, recall.GapStatements.Select(gap => gap.Text));
        Assert.Equal(
            ["MAKERS_UNREACHABLE NOT_ON_RECORD", "MAKERS_UNREACHABLE NO_CONSENT", "MIX_OPEN "],
            recall.GapStatements.Select(gap => $"{gap.Kind} {gap.Facts.GetValueOrDefault("obstacle", "")}").Order(StringComparer.Ordinal));
        Assert.Equal(["", "", "", "NOT_ON_RECORD", "NO_ADDRESS", "NO_CONSENT"], recall.Notices.Select(notice => notice.ObstacleKind).Order(StringComparer.Ordinal));
    }

    // A second delivery under the supplier's code is no part of the list, and that of another part or supplier is none of it.
    [Theory]
    [InlineData(Part.A, "harbour supplies", true)]
    [InlineData(Part.A, "", true)]
    [InlineData(Part.A, "Hill Supplies", false)]
    [InlineData(Part.B, "Harbour Supplies", false)]
    public async Task Gaps_NameOtherDeliveriesOfTheSuppliersLot(Part part, string supplier, bool named)
    {
        await _studio.Lots.ReceiveLotAsync(new()
        {
            Parent = SampleStudio.Name, LotId = "later", Lot = new() { Part = part, ResinSystem = SampleStudio.Deep, Supplier = supplier, SupplierLotCode = "DEEP-A-LOT" },
            Containers = { new ContainerReceipt { ContainerId = "later-1", Site = SampleStudio.North, ReceivedMassMg = 5_000_000 } },
        });

        var recall = await _studio.StartAsync();

        Assert.Equal(named, recall.Gaps.Any(gap => gap.StartsWith("The supplier's lot DEEP-A-LOT came in also as later,", StringComparison.Ordinal)));
        Assert.DoesNotContain(recall.List.Stock, stock => stock.Container.EndsWith("later-1", StringComparison.Ordinal));
    }

    // Somebody at north can be written to; that helps nobody at south.
    [Fact]
    public async Task Gaps_NameEachSiteWhereNobodyCanBeWrittenTo()
    {
        var sites = new V1.SiteService.SiteServiceClient(_studio.Harness.Channel);
        await sites.UpdateSiteAsync(new()
        {
            Site = new() { Name = SampleStudio.South, Contacts = { new Contact { Role = Contact.Types.Role.Assistant, DisplayName = "Asa" } } }, UpdateMask = new() { Paths = { "contacts" } },
        });
        await _studio.Lots.ReceiveLotAsync(new()
        {
            Parent = SampleStudio.Name, LotId = "spread", Lot = new() { Part = Part.A, ResinSystem = SampleStudio.Deep, SupplierLotCode = "SPREAD" },
            Containers =
            {
                new ContainerReceipt { ContainerId = "spread-1", Site = SampleStudio.North, ReceivedMassMg = 5_000_000 },
                new ContainerReceipt { ContainerId = "spread-2", Site = SampleStudio.South, ReceivedMassMg = 5_000_000 },
            },
        });

        var recall = await _studio.Recalls.StartRecallAsync(new()
        {
            Parent = SampleStudio.Name, Scope = new() { Name = $"{SampleStudio.Name}/lots/spread" }, Reason = "cloudy", Starter = "Ana", ValidateOnly = true,
        });

        Assert.Equal(["No contact of south has an e-mail address: nobody there would be told to set things apart. Call them."], recall.Gaps);
    }

    [Fact]
    public async Task Texts_SayWhatToDoAndNameNoMaker()
    {
        await _studio.StartAsync();

        var (maker, contact) = (_studio.Reminders(Kind.Recall)[0].Text, _studio.Reminders(Kind.Recall)[1].Text);
        Assert.Contains("You have piece walnut.", maker, StringComparison.Ordinal);
        Assert.Contains("safety data sheet", maker, StringComparison.Ordinal);
        Assert.Contains("2 pieces in the house", contact, StringComparison.Ordinal);
        // 20 kg and 9 kg came in, a mix took 1 kg and 420 g; of the lot of A 19 kg are left.
        Assert.Contains("19,000 g in 1 container", contact, StringComparison.Ordinal);
        Assert.Contains("1 mix may have resin left in the bucket", contact, StringComparison.Ordinal);
        Assert.DoesNotContain(_studio.Reminders(Kind.Recall), reminder => reminder.Text.Contains("mia", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Chase_OfThoseWhoDoNotAnswer_ComesTwiceAndEndsWithTheOwner()
    {
        await _studio.StartAsync();

        await _studio.ChaseAtAsync(TimeSpan.FromHours(24) - TimeSpan.FromMilliseconds(1));
        Assert.Empty(_studio.Told(Kind.RecallUnanswered));

        // Those who cannot be written to go to the owner at once, together; the others are asked again.
        await _studio.ChaseAtAsync(TimeSpan.FromHours(24));
        Assert.Equal(["mia", "Olive", "Ivo", "Owner"], _studio.Told(Kind.RecallUnanswered));

        await _studio.ChaseAtAsync(TimeSpan.FromHours(72) - TimeSpan.FromMilliseconds(1));
        Assert.Equal(4, _studio.Told(Kind.RecallUnanswered).Count);

        await _studio.ChaseAtAsync(TimeSpan.FromHours(72));
        Assert.Equal(["mia", "Olive", "Ivo"], _studio.Told(Kind.RecallUnanswered).Skip(4));

        await _studio.ChaseAtAsync(TimeSpan.FromHours(96));
        Assert.Equal(["Owner"], _studio.Told(Kind.RecallUnanswered).Skip(7));

        await _studio.ChaseAtAsync(TimeSpan.FromDays(60));
        Assert.Equal(8, _studio.Told(Kind.RecallUnanswered).Count);
        var mia = (await _studio.GetAsync()).Notices.Single(notice => notice.Person == "mia");
        Assert.Equal((2, StudioHarness.Start.AddHours(96)), (mia.ChaseCount, mia.HandOverTime.ToDateTimeOffset()));
    }

    [Fact]
    public async Task Chase_AfterAnAnswer_LeavesThatPersonAlone()
    {
        await _studio.StartAsync();
        var notices = (await _studio.GetAsync()).Notices;
        await _studio.ChaseAtAsync(TimeSpan.FromHours(1));

        await AnswerAsync(notices.Single(notice => notice.Person == "mia"), Answer.Returned, "soft at one edge");
        await _studio.ChaseAtAsync(TimeSpan.FromHours(24));

        Assert.Equal(["Olive", "Ivo", "Owner"], _studio.Told(Kind.RecallUnanswered));
        var mia = (await _studio.GetAsync()).Notices.Single(notice => notice.Person == "mia");
        Assert.Equal((Answer.Returned, "Ana", "soft at one edge", 0), (mia.Answer, mia.Answerer, mia.Note, mia.ChaseCount));
    }

    // Consent is taken back between two letters: the next one is not written, a person goes instead.
    [Fact]
    public async Task Chase_OfAStudentWhoTookConsentBack_GoesToTheOwner()
    {
        await _studio.StartAsync();
        await _studio.SweepAsync<DueReminders>();
        var students = new V1.StudentService.StudentServiceClient(_studio.Harness.Channel);
        var mia = await students.GetStudentAsync(new() { Name = "studios/alder/students/mia" });
        await students.UpdateStudentAsync(new()
        {
            Student = new() { Name = mia.Name, ConsentToMessages = false, Etag = mia.Etag }, UpdateMask = new() { Paths = { "consent_to_messages" } },
        });

        await _studio.ChaseAtAsync(TimeSpan.FromHours(24));

        Assert.DoesNotContain("mia", _studio.Told(Kind.RecallUnanswered));
        Assert.Contains("3 makers", _studio.Reminders(Kind.RecallUnanswered).Single(reminder => reminder.To == "Owner").Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Status_CountsAndTimes_FollowTheAnswers()
    {
        var recall = await _studio.StartAsync();
        await _studio.SweepAsync<DueReminders>();
        _studio.Harness.Clock.Advance(TimeSpan.FromHours(2));
        foreach (var notice in recall.Notices) await AnswerAsync(notice, notice.Person == "noa" ? Answer.NotReached : Answer.Kept);

        var status = (await _studio.GetAsync()).Status;

        Assert.Equal((6, 3, 3, 6, 5), (status.PersonCount, status.ReachableCount, status.ToldCount, status.AnsweredCount, status.ReachedCount));
        Assert.Equal(StudioHarness.Start.AddHours(2), status.AnswerTime.ToDateTimeOffset());
        Assert.Equal(StudioHarness.Start, status.HoldTime.ToDateTimeOffset());
    }

    [Fact]
    public async Task Close_KeepsItsGaps_AndNobodyIsChasedOrAnswersAnyMore()
    {
        var recall = await _studio.StartAsync();
        await AnswerAsync(recall.Notices[0], Answer.Kept);

        var closed = await _studio.Recalls.CloseRecallAsync(new() { Name = recall.Name, Outcome = "all hard", Gaps = { "a number was wrong" }, Closer = "Ana", Release = true });
        await _studio.ChaseAtAsync(TimeSpan.FromDays(10));

        Assert.Equal(["5 persons of 6 did not answer.", "a number was wrong"], closed.Gaps.TakeLast(2));
        Assert.Equal(closed.Gaps, closed.GapStatements.Select(gap => gap.Text));
        Assert.Equal(["MIX_OPEN", "", ""], closed.GapStatements.Select(gap => gap.Kind).TakeLast(3));
        Assert.Empty(_studio.Told(Kind.RecallUnanswered));
        Assert.Equal("RECALL_CLOSED", await Refused.ByAsync(() => AnswerAsync(recall.Notices[1], Answer.Kept)));
        Assert.Equal("RECALL_CLOSED", await Refused.ByAsync(async () => await _studio.Recalls.CloseRecallAsync(new() { Name = recall.Name, Outcome = "again", Closer = "Ana" })));
        Assert.Equal(Lot.Types.State.Released, (await _studio.Lots.GetLotAsync(new() { Name = RecallStudio.LotA })).State);
        Assert.False((await _studio.Pieces.GetPieceAsync(new() { Name = RecallStudio.Piece("cherry") })).Held);
    }

    // A fourth piece is poured from the bucket after the recall began: the list stays as frozen, and shows it as joined.
    [Fact]
    public async Task List_AfterALaterPour_ShowsWhatJoined()
    {
        var before = await _studio.StartAsync();
        await _studio.PourAsync("oak", "mia", "");

        var after = await _studio.GetAsync();

        Assert.Equal((3, 0), (before.List.Pieces.Count, before.Status.JoinedCount));
        Assert.Equal((3, 1), (after.Status.PieceCount, after.Status.JoinedCount));
        Assert.Equal(("oak", true, false), after.List.Pieces.Select(piece => (piece.Label, piece.Joined, piece.Held)).Last());
    }

    // Cherry leaves while it is held, with words: the list says who has it, and what it said before, as long as the recall is open.
    [Fact]
    public async Task List_AfterAPieceLeft_SaysWhoHasItNow()
    {
        var before = await _studio.StartAsync();
        await _studio.StepAsync("cherry", Step.Types.Kind.HandOver, "fetched by a friend");

        var after = await _studio.GetAsync();

        Assert.Equal((Where.Curing, Where.Unspecified, 1, 0), Of(before));
        Assert.Equal((Where.HandedOver, Where.Curing, 1, 1), Of(after));
        Assert.Equal("noa", after.List.Pieces.Single(piece => piece.Label == "cherry").Holder);
        Assert.Equal(["cherry", "walnut", "maple"], after.List.Pieces.Select(piece => piece.Label));
        Assert.Contains("1 piece left the house since", (await _studio.Recalls.PrintRecallAsync(new() { Name = after.Name })).Data.ToStringUtf8().ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Equal(Of(before), Of(await _studio.Recalls.CloseRecallAsync(new() { Name = after.Name, Outcome = "all hard", Closer = "Ana" })));

        static (Where, Where, int, int) Of(Recall recall)
        {
            var cherry = recall.List.Pieces.Single(piece => piece.Label == "cherry");
            return (cherry.Where, cherry.FoundWhere, recall.Status.HandedOverCount, recall.Status.HandedOverSinceCount);
        }
    }

    [Fact]
    public async Task List_OfRecalls_IsBrief()
    {
        await _studio.StartAsync();
        await _studio.Recalls.StartDrillAsync(new() { Parent = SampleStudio.Name, Starter = "Ana", RecallId = "drill-1" });

        var all = (await _studio.Recalls.ListRecallsAsync(new() { Parent = SampleStudio.Name })).Recalls;

        Assert.Equal([(true, 3, 6), (false, 3, 6)], all.OrderBy(recall => recall.Name).Select(recall => (recall.Drill, recall.Status.PieceCount, recall.Status.PersonCount)));
        Assert.All(all, recall => Assert.Null(recall.List));
    }

    [Fact]
    public async Task Print_OfARecall_SaysWhoHasWhat()
    {
        var recall = await _studio.StartAsync();

        var page = await _studio.Recalls.PrintRecallAsync(new() { Name = recall.Name });

        foreach (var words in new[] { "HANDED OVER", "walnut", "held", "deep-a1", "It names no cause" })
            Assert.Contains(words, page.Data.ToStringUtf8(), StringComparison.Ordinal);
    }

    private async Task AnswerAsync(RecallNotice notice, Answer answer, string note = "") => await _studio.Recalls.AcknowledgeRecallNoticeAsync(
        new() { Name = notice.Name, Answer = answer, Person = "Ana", Note = note });
}
