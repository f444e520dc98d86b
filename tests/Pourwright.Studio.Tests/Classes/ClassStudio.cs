using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Pourwright.Studio.Names;
using Pourwright.Studio.Reminders;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Tests.Classes;

/// <summary>The sample studio on Friday 6 February 2026, 09:00 in Lisbon and UTC alike, with what it teaches with.</summary>
public sealed class ClassStudio : IAsyncLifetime
{
    public const string Trays = "studios/alder/classes/trays";

    public StudioHarness Harness { get; private set; } = null!;

    public V1.ClassService.ClassServiceClient Classes => new(Harness.Channel);

    public V1.StudentService.StudentServiceClient Students => new(Harness.Channel);

    public V1.MouldService.MouldServiceClient Moulds => new(Harness.Channel);

    public async Task InitializeAsync()
    {
        Harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(Harness);
        await SampleTeaching.CreateAsync(Harness.Channel);
    }

    /// <summary>Comes to rest first: a message that is being told while its node stops would be an error in the log.</summary>
    public async Task DisposeAsync()
    {
        await Harness.SettleAsync();
        await Harness.DisposeAsync();
    }

    public static CreateCastingClassRequest Ask(string id = "trays") => new()
    {
        Parent = SampleStudio.Name,
        CastingClassId = id,
        CastingClass = new()
        {
            DisplayName = "Trays in February",
            Offering = SampleTeaching.Tray,
            Sites = { SampleStudio.North },
            FirstDate = Day(2026, 2, 16),
            LastDate = Day(2026, 2, 28),
        },
    };

    /// <summary>Asks for a class of so many seats.</summary>
    public async Task<CastingClass> AskAsync(string id = "trays", int? seats = null)
    {
        var request = Ask(id);
        if (seats is { } count) request.CastingClass.SeatCount = count;
        return await Classes.CreateCastingClassAsync(request);
    }

    /// <summary>Pour on Saturday 21 February at 10:00, machine day on Saturday 28 February at 09:00.</summary>
    public static ScheduleSessionsRequest Schedule(string id = "trays", string reason = "") => new()
    {
        Name = $"{SampleStudio.Name}/classes/{id}",
        Reason = reason,
        Sessions = { Time(Kind.Pour, Day(2026, 2, 21), 10), Time(Kind.Machine, Day(2026, 2, 28), 9) },
    };

    public static SessionTime Time(Kind kind, Date date, int hour, int minute = 0, string instructor = SampleTeaching.Ana) => new()
    {
        Kind = kind,
        Site = SampleStudio.North,
        Date = date,
        StartTimeOfDay = new() { Hours = hour, Minutes = minute },
        Instructor = instructor,
    };

    public static Date Day(int year, int month, int day) => new() { Year = year, Month = month, Day = day };

    public async Task<Student> AddStudentAsync(string id, bool consent = true) => await Students.CreateStudentAsync(new()
    {
        Parent = SampleStudio.Name,
        StudentId = id,
        Student = new() { DisplayName = id, ContactEmail = $"{id}@post.example", ConsentToMessages = consent },
    });

    /// <summary>A student of that id takes a place.</summary>
    public async Task<Enrolment> EnrolAsync(string id, bool consent = true, params Date[] accepted)
    {
        var student = await AddStudentAsync(id, consent);
        return await Students.EnrolStudentAsync(new() { Parent = Trays, Student = student.Name, EnrolmentId = id, AcceptedDates = { accepted } });
    }

    public async Task<Enrolment.Types.State> StateOfAsync(string id) =>
        (await Students.GetEnrolmentAsync(new() { Name = $"{Trays}/enrolments/{id}" })).State;

    /// <summary>As they came to be: to whom, and what is said.</summary>
    public IReadOnlyList<(string To, Reminder.Types.State State, string Text)> Reminders(Reminder.Types.Kind kind) =>
        [.. Harness.Reads.Read(session => ReminderStore.ListReminders(
                session, SampleStudio.Name, Reminder.Types.State.Unspecified, "", Paging.Read(500, "")))
            .Where(reminder => reminder.Kind == kind)
            .Select(reminder => (reminder.Recipient.Length > 0 ? reminder.Recipient.Split('/')[^1] : $"{reminder.RecipientRole}", reminder.State, reminder.Text))];

    public long Count(string table) => Harness.Reads.Read(session => session.Scalar<long>($"SELECT count(*) FROM {table}"));

    public static Timestamp At(string utc) => Timestamp.FromDateTimeOffset(DateTimeOffset.FromUnixTimeMilliseconds(ClassFacts.Utc(utc)));

    public Task GoToAsync(string utc)
    {
        Harness.Clock.SetUtcNow(DateTimeOffset.FromUnixTimeMilliseconds(ClassFacts.Utc(utc)));
        return Harness.SettleAsync();
    }
}
