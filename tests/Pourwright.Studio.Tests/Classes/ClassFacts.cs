using System.Globalization;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Session.Types.Kind;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Tests.Classes;

/// <summary>Facts for the rules of classes: a class of two seats, its pour on Saturday 21 February 2026 at 10:00 in Lisbon, the machine day a week later.</summary>
internal static class ClassFacts
{
    public const string Class = "studios/alder/classes/trays";
    public const string Ana = "studios/alder/instructors/ana";
    public const string Rui = "studios/alder/instructors/rui";

    public static readonly SiteRecord North = Site(SampleStudio.North, "Europe/Lisbon");

    public static readonly OfferingRecord Tray = new()
    {
        Name = "studios/alder/offerings/tray",
        Studio = SampleStudio.Name,
        DisplayName = "Serving tray",
        ResinSystem = SampleStudio.Deep,
        LengthMm = 400,
        WidthMm = 250,
        DepthMm = 30,
        WoodShare = 0.6,
        ChannelWidthMm = null,
        Layers = "[]",
        PiecesPerStudent = 1,
        Seats = 8,
        PourMinutes = 240,
        MachineMinutes = 420,
        FinishMinutes = null,
        FinishAfterMs = null,
        FinishWithinDays = null,
        PlanerMinutesPerPiece = 10,
        SawMinutesPerPiece = 5,
        LongestGapDays = 21,
        SealCoatGPerM2 = 150,
        SealCoatResinSystem = null,
        LossShare = 0.12,
        MouldPrepDays = 1,
        Etag = "1",
    };

    public static readonly SessionRecord Pour = Session(Kind.Pour, "2026-02-21", 10 * 60);
    public static readonly SessionRecord Machine = Session(Kind.Machine, "2026-02-28", 9 * 60);

    public static ClassRecord Asked(CastingClass.Types.State state = CastingClass.Types.State.Confirmed) => new()
    {
        Name = Class,
        Studio = SampleStudio.Name,
        DisplayName = "Trays in February",
        Offering = Tray.Name,
        Seats = 2,
        Pieces = 2,
        FirstDate = "2026-02-16",
        LastDate = "2026-02-28",
        Weekdays = Weekdays.All,
        State = state,
        Etag = "1",
        Sites = [SampleStudio.North],
    };

    public static SiteRecord Site(string name, string zone) => new()
    {
        Name = name,
        Studio = SampleStudio.Name,
        DisplayName = "North Hall",
        TimeZone = zone,
        QuietStartMinute = 21 * 60,
        QuietEndMinute = 7 * 60,
        ReminderSwingMs = 0,
        DewPointMarginCelsius = 3,
        Etag = "1",
    };

    public static SessionRecord Session(Kind kind, string date, int minute, int minutes = 240, string instructor = Ana) =>
        SessionRecord.At(Class, kind, North, null, Days.FromColumn(date), minute, minutes, instructor);

    /// <summary>A place in the class; the number stands for the student and for the order.</summary>
    public static EnrolmentRecord Place(int number, State state, string acceptedDates = "") => new()
    {
        Sequence = number,
        Name = $"{Class}/enrolments/place-{number}",
        Class = Class,
        Student = $"studios/alder/students/student-{number}",
        State = state,
        AcceptedDates = acceptedDates,
        CreatedMs = number,
    };

    public static ClassSeats Seats(string nowUtc, params EnrolmentRecord[] places) => new()
    {
        Class = Asked(),
        Sessions = [Pour, Machine],
        Enrolments = places,
        MouldPrepDays = 1,
        Options = new(),
        NowMs = Utc(nowUtc),
    };

    /// <summary>Unix ms of a UTC time.</summary>
    public static long Utc(string text) =>
        DateTimeOffset.Parse(text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal).ToUnixMs();
}
