using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;
using DayOfWeek = Google.Type.DayOfWeek;
using Kind = Pourwright.V1.Session.Types.Kind;
using SessionState = Pourwright.V1.Session.Types.State;
using State = Pourwright.V1.CastingClass.Types.State;

namespace Pourwright.Studio.Tests.Classes;

public sealed class ClassServiceTests : IAsyncLifetime
{
    private readonly ClassStudio _studio = new();

    private V1.ClassService.ClassServiceClient Classes => _studio.Classes;

    public Task InitializeAsync() => _studio.InitializeAsync();

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task Create_LittleSaid_FollowsTheOffering()
    {
        var asked = await _studio.AskAsync();

        Assert.Equal((State.Requested, 8, 8, 7, 0), (asked.State, asked.SeatCount, asked.PieceCount, asked.Weekdays.Count, asked.Sessions.Count));
        Assert.Equal(asked, await Classes.GetCastingClassAsync(new() { Name = asked.Name }));
        Assert.Equal([asked], (await Classes.ListCastingClassesAsync(new() { Parent = SampleStudio.Name })).CastingClasses);
    }

    [Fact]
    public async Task Create_AllThatIsSaid_ComesBack()
    {
        var request = ClassStudio.Ask();
        request.CastingClass.SeatCount = 6;
        request.CastingClass.PieceCount = 7;
        request.CastingClass.Sites.Insert(0, SampleStudio.South);
        request.CastingClass.Weekdays.Add([DayOfWeek.Saturday, DayOfWeek.Sunday]);
        request.CastingClass.FavouriteDate = ClassStudio.Day(2026, 2, 21);

        var asked = await Classes.CreateCastingClassAsync(request);

        Assert.Equal((6, 7, request.CastingClass.FavouriteDate), (asked.SeatCount, asked.PieceCount, asked.FavouriteDate));
        Assert.Equal([SampleStudio.South, SampleStudio.North], asked.Sites);
        Assert.Equal([DayOfWeek.Saturday, DayOfWeek.Sunday], asked.Weekdays);
    }

    public static TheoryData<string, Action<CreateCastingClassRequest>, string> Wrong => new()
    {
        { "nothing", r => r.CastingClass = new(), "casting_class.display_name,casting_class.offering,casting_class.sites,casting_class.first_date,casting_class.last_date" },
        { "no seat", r => r.CastingClass.SeatCount = 0, "casting_class.seat_count" },
        { "no piece", r => r.CastingClass.PieceCount = 0, "casting_class.piece_count" },
        { "a site twice", r => r.CastingClass.Sites.Add(SampleStudio.North), "casting_class.sites" },
        { "site of another studio", r => r.CastingClass.Sites[0] = "studios/elm/sites/north", "casting_class.sites[0]" },
        { "30 February", r => r.CastingClass.LastDate = ClassStudio.Day(2026, 2, 30), "casting_class.last_date" },
        { "last before first", r => r.CastingClass.LastDate = ClassStudio.Day(2026, 2, 15), "casting_class.last_date" },
        { "three years", r => r.CastingClass.LastDate = ClassStudio.Day(2029, 2, 15), "casting_class.last_date" },
        { "favourite outside", r => r.CastingClass.FavouriteDate = ClassStudio.Day(2026, 3, 1), "casting_class.favourite_date" },
        { "no weekday", r => r.CastingClass.Weekdays.Add((DayOfWeek)8), "casting_class.weekdays" },
    };

    [Theory]
    [MemberData(nameof(Wrong))]
    public async Task Create_WithoutSense_IsRefused(string what, Action<CreateCastingClassRequest> spoil, string fields)
    {
        var request = ClassStudio.Ask();
        spoil(request);

        var refusal = await Assert.ThrowsAsync<RpcException>(() => Classes.CreateCastingClassAsync(request).ResponseAsync);

        Assert.Equal((Reasons.FieldInvalid, fields), (refusal.Reason(), string.Join(',', refusal.Fields())));
        Assert.True(_studio.Count("classes") == 0, what);
    }

    [Fact]
    public async Task Create_WhatDoesNotExist_IsNotFound()
    {
        var offering = ClassStudio.Ask();
        offering.CastingClass.Offering = "studios/alder/offerings/none";
        var site = ClassStudio.Ask();
        site.CastingClass.Sites[0] = "studios/alder/sites/none";

        Assert.Equal(Reasons.OfferingNotFound, await RefusalOfAsync(Classes.CreateCastingClassAsync(offering)));
        Assert.Equal(Reasons.SiteNotFound, await RefusalOfAsync(Classes.CreateCastingClassAsync(site)));
        Assert.Equal(Reasons.CastingClassNotFound, await RefusalOfAsync(Classes.GetCastingClassAsync(new() { Name = ClassStudio.Trays })));
    }

    [Fact]
    public async Task Create_IdTaken_IsRefused_AndARepeatGetsTheFirstAnswer()
    {
        var request = ClassStudio.Ask();
        request.RequestId = Guid.NewGuid().ToString();
        var first = await Classes.CreateCastingClassAsync(request);

        Assert.Equal(first, await Classes.CreateCastingClassAsync(request));
        Assert.Equal(Reasons.CastingClassExists, await RefusalOfAsync(Classes.CreateCastingClassAsync(ClassStudio.Ask())));
    }

    [Fact]
    public async Task Update_Seats_PiecesFollowUnlessTheyWereSaid()
    {
        var asked = await _studio.AskAsync();

        var more = await Classes.UpdateCastingClassAsync(new() { CastingClass = new() { Name = asked.Name, SeatCount = 10, Etag = asked.Etag } });
        Assert.Equal((10, 10, "Trays in February"), (more.SeatCount, more.PieceCount, more.DisplayName));

        var spare = await Classes.UpdateCastingClassAsync(new() { CastingClass = new() { Name = asked.Name, PieceCount = 11 } });
        var fewer = await Classes.UpdateCastingClassAsync(new() { CastingClass = new() { Name = asked.Name, SeatCount = 9 } });
        Assert.Equal((11, 11), (spare.PieceCount, fewer.PieceCount));
    }

    [Fact]
    public async Task Update_StaleOrWithSessionsOrBelowTheTaken_IsRefused()
    {
        var asked = await _studio.AskAsync(seats: 2);
        await _studio.EnrolAsync("mara");
        await _studio.EnrolAsync("nuno");
        await Classes.UpdateCastingClassAsync(new() { CastingClass = new() { Name = asked.Name, DisplayName = "Trays" } });

        Assert.Equal(Reasons.EtagStale, await RefusalOfAsync(Classes.UpdateCastingClassAsync(
            new() { CastingClass = new() { Name = asked.Name, DisplayName = "Trays again", Etag = asked.Etag } })));
        Assert.Equal(Reasons.SeatsTaken, await RefusalOfAsync(Classes.UpdateCastingClassAsync(
            new() { CastingClass = new() { Name = asked.Name, SeatCount = 1 } })));
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        Assert.Equal(Reasons.ClassState, await RefusalOfAsync(Classes.UpdateCastingClassAsync(
            new() { CastingClass = new() { Name = asked.Name, SeatCount = 3 } })));
    }

    [Theory]
    [InlineData(State.Requested, null, null, "later")]
    [InlineData(State.Confirmed, null, null, "trays")]
    [InlineData(State.Unspecified, null, null, "later,trays")]
    [InlineData(State.Unspecified, "2026-03-01", null, "later")]
    [InlineData(State.Unspecified, null, "2026-02-20", "")]
    [InlineData(State.Unspecified, "2026-02-28", "2026-02-28", "trays")]
    public async Task List_ByStateAndDays_ListsThose(State state, string? start, string? end, string ids)
    {
        await _studio.AskAsync();
        var later = ClassStudio.Ask("later");
        (later.CastingClass.FirstDate, later.CastingClass.LastDate) = (ClassStudio.Day(2026, 3, 1), ClassStudio.Day(2026, 3, 31));
        await Classes.CreateCastingClassAsync(later);
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());

        var listed = await Classes.ListCastingClassesAsync(new() { Parent = SampleStudio.Name, State = state, StartDate = Date(start), EndDate = Date(end) });

        Assert.Equal(ids, string.Join(',', listed.CastingClasses.Select(castingClass => castingClass.Name.Split('/')[^1])));
    }

    [Fact]
    public async Task Schedule_First_ConfirmsWithInstantsOfTheSitesClock()
    {
        await _studio.AskAsync();

        var confirmed = await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());

        Assert.Equal(State.Confirmed, confirmed.State);
        Assert.Equal([Kind.Pour, Kind.Machine], confirmed.Sessions.Select(session => session.Kind));
        var pour = confirmed.Sessions[0];
        Assert.Equal((ClassStudio.At("2026-02-21 10:00"), ClassStudio.At("2026-02-21 14:00")), (pour.StartTime, pour.EndTime));
        Assert.Equal(("Europe/Lisbon", SessionState.Confirmed, 0), (pour.TimeZone, pour.State, pour.RevisionCount));
        Assert.Contains(confirmed.Cautions, caution => caution.Reason == Reasons.CureNotAsked);
        Assert.Equal(pour, await Classes.GetSessionAsync(new() { Name = $"{ClassStudio.Trays}/sessions/pour" }));
    }

    [Fact]
    public async Task Schedule_Moved_CountsThatSessionAlone()
    {
        await _studio.AskAsync();
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        var moved = ClassStudio.Schedule(reason: "the planer is down");
        moved.Sessions[1].Date = ClassStudio.Day(2026, 3, 1);

        var after = await Classes.ScheduleSessionsAsync(moved);

        Assert.Equal([(SessionState.Confirmed, 0), (SessionState.Moved, 1)], after.Sessions.Select(session => (session.State, session.RevisionCount)));
        Assert.Equal("the planer is down", after.Sessions[1].ChangeReason);
    }

    [Fact]
    public async Task Schedule_CancelledAndHeldAfterAll_NeverCountsBack()
    {
        await _studio.AskAsync();
        var withFinish = ClassStudio.Schedule(reason: "as wished");
        withFinish.Sessions.Add(ClassStudio.Time(Kind.Finish, ClassStudio.Day(2026, 3, 7), 9));
        withFinish.Sessions[2].SessionDuration = SampleTeaching.Minutes(120);
        await Classes.ScheduleSessionsAsync(withFinish);

        var without = await Classes.ScheduleSessionsAsync(ClassStudio.Schedule(reason: "no oil came"));
        var again = await Classes.ScheduleSessionsAsync(withFinish);

        Assert.Equal((SessionState.Cancelled, 1), (without.Sessions[2].State, without.Sessions[2].RevisionCount));
        Assert.Equal((SessionState.Confirmed, 2), (again.Sessions[2].State, again.Sessions[2].RevisionCount));
    }

    // The finish is at another site: a key of north alone is not shown it, and what it does not name is not called off.
    [Fact]
    public async Task Schedule_ByAKeyOfOneSite_LeavesTheSessionsElsewhereAsTheyAre()
    {
        await _studio.AskAsync();
        var finish = ClassStudio.Time(Kind.Finish, ClassStudio.Day(2026, 3, 7), 9);
        (finish.Site, finish.SessionDuration) = (SampleStudio.South, SampleTeaching.Minutes(120));
        var all = ClassStudio.Schedule();
        all.Sessions.Add(finish);
        await Classes.ScheduleSessionsAsync(all);
        var key = await new V1.AccessService.AccessServiceClient(_studio.Harness.Channel).CreateAccessKeyAsync(new()
        {
            Parent = SampleStudio.Name, AccessKeyId = "nora", AccessKey = new() { DisplayName = "Nora", Role = Role.Lead, Sites = { SampleStudio.North } },
        });
        var nora = new V1.ClassService.ClassServiceClient(_studio.Harness.OpenChannel(key.Secret));
        var moved = ClassStudio.Schedule(reason: "the planer is down");
        moved.Sessions[1].Date = ClassStudio.Day(2026, 3, 1);

        var answer = await nora.ScheduleSessionsAsync(moved);
        var after = await Classes.GetCastingClassAsync(new() { Name = ClassStudio.Trays });
        all.Reason = "the planer is down";
        all.Sessions[2].Site = SampleStudio.North;
        var taken = await RefusalOfAsync(nora.ScheduleSessionsAsync(all));

        Assert.Equal([Kind.Pour, Kind.Machine], answer.Sessions.Select(session => session.Kind));
        Assert.Equal([SessionState.Confirmed, SessionState.Moved, SessionState.Confirmed], after.Sessions.Select(session => session.State));
        Assert.Equal(SampleStudio.South, after.Sessions[2].Site);
        Assert.Equal(Reasons.NotAllowed, taken);
    }

    [Fact]
    public async Task Schedule_ValidateOnly_KeepsNothing_AndTheSameAgainIsNoNews()
    {
        await _studio.AskAsync();
        var asked = ClassStudio.Schedule();
        asked.ValidateOnly = true;

        Assert.Equal(State.Confirmed, (await Classes.ScheduleSessionsAsync(asked)).State);
        Assert.Equal((0, 0), (_studio.Count("sessions"), _studio.Count("outbox")));

        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule(reason: "again"));
        Assert.Equal((2, 1), (_studio.Count("sessions"), _studio.Count("outbox")));
    }

    // Clocks in Lisbon go forward on 29 March 2026 from 01:00 to 02:00, back on 25 October from 02:00 to 01:00.
    [Fact]
    public async Task Schedule_OnNightsClocksChange_RefusesOrAsks()
    {
        await _studio.AskAsync();
        var skipped = ClassStudio.Schedule();
        skipped.Sessions[1] = ClassStudio.Time(Kind.Machine, ClassStudio.Day(2026, 3, 29), 1, 30);
        var twice = ClassStudio.Schedule();
        twice.Sessions[1] = ClassStudio.Time(Kind.Machine, ClassStudio.Day(2026, 10, 25), 1, 30);

        Assert.Equal(Reasons.LocalTimeMissing, await RefusalOfAsync(Classes.ScheduleSessionsAsync(skipped)));
        Assert.Equal(Reasons.LocalTimeTwice, await RefusalOfAsync(Classes.ScheduleSessionsAsync(twice)));
        twice.Sessions[1].Fold = Fold.Later;
        Assert.Equal(ClassStudio.At("2026-10-25 01:30"), (await Classes.ScheduleSessionsAsync(twice)).Sessions[1].StartTime);
    }

    public static TheoryData<string, Action<ScheduleSessionsRequest>, string> Unheld => new()
    {
        { "no machine day", r => r.Sessions.RemoveAt(1), Reasons.FieldInvalid },
        { "two pours", r => r.Sessions[1].Kind = Kind.Pour, Reasons.FieldInvalid },
        { "a finish that the offering has not", r => r.Sessions.Add(ClassStudio.Time(Kind.Finish, ClassStudio.Day(2026, 3, 7), 9)), Reasons.FieldInvalid },
        { "machine day before the pour", r => r.Sessions[1].Date = ClassStudio.Day(2026, 2, 20), Reasons.TimeOutOfOrder },
        { "bench of another site", r => r.Sessions[0].Bench = SampleStudio.SouthBench, Reasons.FieldInvalid },
        { "unknown instructor", r => r.Sessions[0].Instructor = "studios/alder/instructors/none", Reasons.InstructorNotFound },
        { "unknown bench", r => r.Sessions[0].Bench = $"{SampleStudio.North}/benches/none", Reasons.BenchNotFound },
        { "no time", r => r.Sessions[0].StartTimeOfDay = null, Reasons.FieldInvalid },
    };

    [Theory]
    [MemberData(nameof(Unheld))]
    public async Task Schedule_WhatCannotBeHeld_IsRefused(string what, Action<ScheduleSessionsRequest> spoil, string reason)
    {
        await _studio.AskAsync();
        var request = ClassStudio.Schedule();
        spoil(request);

        Assert.Equal(reason, await RefusalOfAsync(Classes.ScheduleSessionsAsync(request)));
        Assert.True(_studio.Count("sessions") == 0, what);
    }

    [Fact]
    public async Task Schedule_KnownDatesWithoutAReason_IsRefused()
    {
        await _studio.AskAsync();
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());

        Assert.Equal(Reasons.FieldInvalid, await RefusalOfAsync(Classes.ScheduleSessionsAsync(ClassStudio.Schedule())));
    }

    [Fact]
    public async Task Instructor_InTwoPlacesAtOnce_IsCautionedOnBoth()
    {
        await _studio.AskAsync();
        await _studio.AskAsync("others");
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        Assert.DoesNotContain((await GetAsync("trays")).Cautions, caution => caution.Reason == Reasons.InstructorBusy);

        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule("others"));

        foreach (var id in new[] { "trays", "others" })
            Assert.Equal(2, (await GetAsync(id)).Cautions.Count(caution => caution.Reason == Reasons.InstructorBusy));
    }

    [Fact]
    public async Task Cancel_TakesItsSessionsAlong_AndHappensOnce()
    {
        await _studio.AskAsync();
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());

        var cancelled = await Classes.CancelCastingClassAsync(new() { Name = ClassStudio.Trays, Reason = "too few students" });

        Assert.Equal((State.Cancelled, "too few students"), (cancelled.State, cancelled.CancelReason));
        Assert.All(cancelled.Sessions, session => Assert.Equal((SessionState.Cancelled, 1), (session.State, session.RevisionCount)));
        Assert.Equal(0, _studio.Count("tasks"));
        Assert.Equal(Reasons.ClassState, await RefusalOfAsync(Classes.CancelCastingClassAsync(new() { Name = ClassStudio.Trays, Reason = "again" })));
        Assert.Equal(Reasons.ClassState, await RefusalOfAsync(Classes.ScheduleSessionsAsync(ClassStudio.Schedule(reason: "after all"))));
    }

    [Fact]
    public async Task SaveSessions_OfNone_AsksForDatesAgain()
    {
        await _studio.AskAsync();
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());

        await _studio.Harness.Writer.WriteAsync(tx => Pourwright.Studio.Classes.ClassStore.SaveSessions(
            tx, Pourwright.Studio.Classes.ClassStore.GetClass(tx, ClassStudio.Trays), [], "the plan was taken back", new()).Count);

        var asked = await GetAsync("trays");
        Assert.Equal(State.Requested, asked.State);
        Assert.All(asked.Sessions, session => Assert.Equal((SessionState.Cancelled, 1), (session.State, session.RevisionCount)));
    }

    // The machine day is seven hours from 09:00.
    [Fact]
    public async Task Class_LastSessionOver_IsDone()
    {
        await _studio.AskAsync();
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());

        await _studio.GoToAsync("2026-02-28 15:59");
        Assert.Equal(State.Confirmed, (await GetAsync("trays")).State);
        await _studio.GoToAsync("2026-02-28 16:00");
        Assert.Equal(State.Done, (await GetAsync("trays")).State);
    }

    [Fact]
    public async Task ListSessions_ByPersonAndTime_ComeInTheirOrder()
    {
        await _studio.AskAsync();
        var request = ClassStudio.Schedule();
        request.Sessions[1].Instructor = SampleTeaching.Rui;
        await Classes.ScheduleSessionsAsync(request);

        async Task<string> ListedAsync(ListSessionsRequest filter)
        {
            filter.Parent = SampleStudio.Name;
            return string.Join(',', (await Classes.ListSessionsAsync(filter)).Sessions.Select(session => session.Kind));
        }

        Assert.Equal("Pour,Machine", await ListedAsync(new()));
        Assert.Equal("Machine", await ListedAsync(new() { Instructor = SampleTeaching.Rui }));
        Assert.Equal("Machine", await ListedAsync(new() { StartTime = ClassStudio.At("2026-02-21 10:01") }));
        Assert.Equal("Pour", await ListedAsync(new() { EndTime = ClassStudio.At("2026-02-28 09:00") }));
        Assert.Equal("", await ListedAsync(new() { Site = SampleStudio.South }));
    }

    [Fact]
    public async Task Restart_KeepsClassSessionsAndTasks()
    {
        await _studio.AskAsync();
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        var before = await GetAsync("trays");

        await _studio.Harness.RestartAsync();

        Assert.Equal(before, await GetAsync("trays"));
        Assert.Equal(4, _studio.Count("tasks"));
    }

    [Fact]
    public async Task Piece_OfAClassByName_ShowsWhatPeopleCallIt_AndMustExist()
    {
        await _studio.AskAsync();
        var pieces = new V1.PieceService.PieceServiceClient(_studio.Harness.Channel);
        CreatePieceRequest Piece(string castingClass) =>
            new() { Parent = SampleStudio.Name, Piece = new() { Site = SampleStudio.North, Label = "7", CastingClass = castingClass } };

        var piece = await pieces.CreatePieceAsync(Piece(ClassStudio.Trays));

        Assert.Equal((ClassStudio.Trays, "Trays in February"), (piece.CastingClass, piece.CastingClassDisplayName));
        Assert.Equal(piece, await pieces.GetPieceAsync(new() { Name = piece.Name }));
        Assert.Equal(Reasons.CastingClassNotFound, await RefusalOfAsync(pieces.CreatePieceAsync(Piece("studios/alder/classes/none"))));
        Assert.Equal(Reasons.FieldInvalid, await RefusalOfAsync(pieces.CreatePieceAsync(Piece("studios/elm/classes/trays"))));
        Assert.Equal("", (await pieces.CreatePieceAsync(Piece("Trays, some time"))).CastingClassDisplayName);
    }

    private async Task<CastingClass> GetAsync(string id) => await Classes.GetCastingClassAsync(new() { Name = $"{SampleStudio.Name}/classes/{id}" });

    private static async Task<string> RefusalOfAsync<T>(AsyncUnaryCall<T> call) =>
        (await Assert.ThrowsAsync<RpcException>(() => call.ResponseAsync)).Reason();

    private static Google.Type.Date? Date(string? text) =>
        text is null ? null : Pourwright.Studio.Classes.Days.ToProto(Pourwright.Studio.Classes.Days.FromColumn(text));
}
