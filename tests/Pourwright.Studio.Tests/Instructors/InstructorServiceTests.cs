using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Tests.Sites;
using Pourwright.Testing;
using Pourwright.V1;
using Date = Google.Type.Date;
using DayOfWeek = Google.Type.DayOfWeek;
using Sample = Pourwright.Testing.SampleStudio;

namespace Pourwright.Studio.Tests.Instructors;

public sealed class InstructorServiceTests(TeachingStudio studio) : IClassFixture<TeachingStudio>
{
    [Fact]
    public async Task CreateInstructor_EveryFieldSet_ReadsBackAsItWasSent()
    {
        var instructor = SampleTeaching.AnaInstructor();
        instructor.WeeklyDayCount = 3;

        var created = await MakeAsync("ines", instructor);

        (instructor.Name, instructor.Etag) = ("studios/alder/instructors/ines", created.Etag);
        Assert.Equal(instructor, created);
        Assert.Equal(instructor, await studio.Instructors.GetInstructorAsync(new() { Name = instructor.Name }));
        Assert.Contains(instructor, (await studio.Instructors.ListInstructorsAsync(new() { Parent = Sample.Name })).Instructors);
    }

    [Fact]
    public async Task CreateInstructor_LittleSaid_TeachesFiveDaysOfAnyWithinAnHour()
    {
        var created = await MakeAsync("joao", new() { DisplayName = "João", HomeSite = Sample.North });

        Assert.Equal((7, 5, 60.0, 0), (created.Weekdays.Count, created.WeeklyDayCount, created.FarthestTravelDuration.ToTimeSpan().TotalMinutes, created.Offerings.Count));
    }

    [Fact]
    public async Task UpdateInstructor_WithMask_TakesOfferingsAway()
    {
        var before = await MakeAsync("lena", SampleTeaching.AnaInstructor());

        var after = await studio.Instructors.UpdateInstructorAsync(new() { Instructor = new() { Name = before.Name }, UpdateMask = FieldMask.FromString("offerings") });

        Assert.Equal([SampleTeaching.Tray], before.Offerings);
        Assert.Empty(after.Offerings);
        Assert.Equal(before.Weekdays, after.Weekdays);
        Assert.Equal(after, await studio.Instructors.GetInstructorAsync(new() { Name = before.Name }));
    }

    [Fact]
    public async Task UpdateInstructor_WithoutMask_ChangesWhatIsSet()
    {
        var before = await MakeAsync("otto", SampleTeaching.AnaInstructor());

        var after = await studio.Instructors.UpdateInstructorAsync(new()
        {
            Instructor = new() { Name = before.Name, Weekdays = { DayOfWeek.Saturday }, HomeSite = Sample.South, Etag = before.Etag },
        });

        Assert.Equal([DayOfWeek.Saturday], after.Weekdays);
        Assert.Equal((Sample.South, before.Email), (after.HomeSite, after.Email));
    }

    [Fact]
    public async Task Absence_Said_IsListedUntilTakenBack()
    {
        var instructor = await MakeAsync("pia", SampleTeaching.AnaInstructor());
        var absence = await studio.Instructors.CreateAbsenceAsync(new() { Parent = instructor.Name, Absence = Away(day: 1, lastDay: 5) });

        Assert.Equal([absence], (await studio.Instructors.ListAbsencesAsync(new() { Parent = instructor.Name })).Absences);
        Assert.Equal(absence, await studio.Instructors.GetAbsenceAsync(new() { Name = absence.Name }));
        await studio.Instructors.DeleteAbsenceAsync(new() { Name = absence.Name });
        Assert.Empty((await studio.Instructors.ListAbsencesAsync(new() { Parent = instructor.Name })).Absences);
    }

    [Fact]
    public async Task GetAbsences_OfAStudio_AreThoseOfAllItsPeopleByFirstDay()
    {
        var (first, second) = (await MakeAsync("quin", SampleTeaching.AnaInstructor()), await MakeAsync("rosa", SampleTeaching.AnaInstructor()));
        await studio.Instructors.CreateAbsenceAsync(new() { Parent = second.Name, Absence = Away(month: 5, day: 20, lastDay: 20) });
        await studio.Instructors.CreateAbsenceAsync(new() { Parent = first.Name, Absence = Away(month: 5, day: 25, lastDay: 29) });

        var found = studio.Harness.Reads.Read(session => InstructorStore.GetAbsences(session, Sample.Name)).Where(a => a.Start().Month == 5).ToList();

        Assert.Equal([second.Name, first.Name], found.Select(a => a.Instructor));
        // The last day counts: 25 to 29 May are five days.
        Assert.Equal(5, found[1].End().DayNumber - found[1].Start().DayNumber + 1);
    }

    private static readonly Dictionary<string, Refused> Table = new()
    {
        ["instructor who says nothing"] = Refused.Invalid(s => Create(s, new()), "instructor.display_name,instructor.home_site"),
        ["instructor of an unknown studio"] = Refused.NotFound(s => s.Instructors.CreateInstructorAsync(new() { Parent = "studios/nobody", Instructor = new() }).ResponseAsync, "STUDIO_NOT_FOUND"),
        ["instructor whose id is taken"] = Refused.Exists(s => Create(s, SampleTeaching.AnaInstructor(), "ana"), "INSTRUCTOR_EXISTS"),
        ["instructor at home nowhere"] = Refused.NotFound(s => Create(s, Ana(i => i.HomeSite = "studios/alder/sites/nowhere")), "SITE_NOT_FOUND"),
        ["instructor at home in another studio"] = Refused.Invalid(s => Create(s, Ana(i => i.HomeSite = "studios/elm/sites/north")), "instructor.home_site"),
        ["instructor of an unknown offering"] = Refused.NotFound(s => Create(s, Ana(i => i.Offerings.Add("studios/alder/offerings/none"))), "OFFERING_NOT_FOUND"),
        ["instructor of one offering twice"] = Refused.Invalid(s => Create(s, Ana(i => i.Offerings.Add(SampleTeaching.Tray))), "instructor.offerings[1]"),
        ["instructor without a proper address"] = Refused.Invalid(s => Create(s, Ana(i => i.Email = "not an address")), "instructor.email"),
        ["instructor on no day of the week"] = Refused.Invalid(s => Create(s, Ana(i => i.Weekdays.Add((DayOfWeek)8))), "instructor.weekdays"),
        ["instructor on eight days a week"] = Refused.Invalid(s => Create(s, Ana(i => i.WeeklyDayCount = 8)), "instructor.weekly_day_count"),
        ["instructor on no day a week"] = Refused.Invalid(s => Create(s, Ana(i => i.WeeklyDayCount = 0)), "instructor.weekly_day_count"),
        ["instructor who goes back in time"] = Refused.Invalid(s => Create(s, Ana(i => i.FarthestTravelDuration = SampleTeaching.Minutes(-1))), "instructor.farthest_travel_duration"),
        ["unknown instructor"] = Refused.NotFound(s => s.Instructors.GetInstructorAsync(new() { Name = "studios/alder/instructors/none" }).ResponseAsync, "INSTRUCTOR_NOT_FOUND"),
        ["instructor as somebody read it before"] = Refused.Stale(s => s.Instructors.UpdateInstructorAsync(new() { Instructor = new() { Name = SampleTeaching.Ana, WeeklyDayCount = 1, Etag = "old" } }).ResponseAsync),
        ["instructor by a mask of what stays"] = Refused.Invalid(s => s.Instructors.UpdateInstructorAsync(new() { Instructor = new() { Name = SampleTeaching.Ana }, UpdateMask = FieldMask.FromString("name") }).ResponseAsync, "update_mask"),
        ["instructor moved to an unknown site"] = Refused.NotFound(s => s.Instructors.UpdateInstructorAsync(new() { Instructor = new() { Name = SampleTeaching.Ana, HomeSite = "studios/alder/sites/nowhere" } }).ResponseAsync, "SITE_NOT_FOUND"),

        ["absence that says nothing"] = Refused.Invalid(s => Leave(s, null), "absence.start_date,absence.end_date"),
        ["absence from 30 February"] = Refused.Invalid(s => Leave(s, Away(month: 2, day: 30, lastDay: 30)), "absence.start_date,absence.end_date"),
        ["absence of a whole year without its day"] = Refused.Invalid(s => Leave(s, new() { StartDate = new() { Year = 2026 }, EndDate = new() { Year = 2026, Month = 3, Day = 1 } }), "absence.start_date"),
        ["absence that ends before it begins"] = Refused.Invalid(s => Leave(s, Away(day: 5, lastDay: 4)), "absence.end_date"),
        ["absence of more than a year"] = Refused.Invalid(s => Leave(s, new() { StartDate = new() { Year = 2026, Month = 3, Day = 1 }, EndDate = new() { Year = 2027, Month = 3, Day = 2 } }), "absence.end_date"),
        ["absence of nobody"] = Refused.NotFound(s => s.Instructors.CreateAbsenceAsync(new() { Parent = "studios/alder/instructors/none", Absence = Away() }).ResponseAsync, "INSTRUCTOR_NOT_FOUND"),
        ["unknown absence taken back"] = Refused.NotFound(s => s.Instructors.DeleteAbsenceAsync(new() { Name = $"{SampleTeaching.Ana}/absences/none" }).ResponseAsync, "ABSENCE_NOT_FOUND"),
        ["absences of nobody"] = Refused.NotFound(s => s.Instructors.ListAbsencesAsync(new() { Parent = "studios/alder/instructors/none" }).ResponseAsync, "INSTRUCTOR_NOT_FOUND"),
    };

    public static TheoryData<string> Claims => [.. Table.Keys];

    [Theory, MemberData(nameof(Claims))]
    public Task Request_ThatMayNotBe_IsRefusedWithItsReasonAndKeepsNothing(string claim) => Table[claim].HoldsAsync(studio);

    // 1 March 2026 to 1 March 2027, both counted, are 366 days.
    [Fact]
    public async Task Absence_OfAYearAndADay_MayBe()
    {
        var instructor = await MakeAsync("sven", SampleTeaching.AnaInstructor());

        await studio.Instructors.CreateAbsenceAsync(new()
        {
            Parent = instructor.Name,
            Absence = new() { StartDate = new() { Year = 2026, Month = 3, Day = 1 }, EndDate = new() { Year = 2027, Month = 3, Day = 1 } },
        });
    }

    private async Task<Instructor> MakeAsync(string id, Instructor instructor) =>
        await studio.Instructors.CreateInstructorAsync(new() { Parent = Sample.Name, InstructorId = id, Instructor = instructor });

    private static Absence Away(int month = 3, int day = 2, int lastDay = 6) => new()
    {
        StartDate = new Date { Year = 2026, Month = month, Day = day },
        EndDate = new Date { Year = 2026, Month = month, Day = lastDay },
        Reason = "Holiday",
    };

    private static Instructor Ana(Action<Instructor> change)
    {
        var instructor = SampleTeaching.AnaInstructor();
        change(instructor);
        return instructor;
    }

    private static Task<Instructor> Create(TeachingStudio s, Instructor instructor, string id = "") =>
        s.Instructors.CreateInstructorAsync(new() { Parent = Sample.Name, InstructorId = id, Instructor = instructor }).ResponseAsync;

    private static Task<Absence> Leave(TeachingStudio s, Absence? absence) =>
        s.Instructors.CreateAbsenceAsync(new() { Parent = SampleTeaching.Ana, Absence = absence }).ResponseAsync;
}
