using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Names;

/// <summary>A kind of resource: how it is called, where it hangs, and the reasons to refuse it.</summary>
public sealed class ResourceKind
{
    public static readonly ResourceKind Studio = new("Studio", "studios", null, Reasons.StudioNotFound, Reasons.StudioExists);
    public static readonly ResourceKind Site = new("Site", "sites", Studio, Reasons.SiteNotFound, Reasons.SiteExists);
    public static readonly ResourceKind Bench = new("Bench", "benches", Site, Reasons.BenchNotFound, Reasons.BenchExists);
    public static readonly ResourceKind Sensor = new("Sensor", "sensors", Site, Reasons.SensorNotFound, Reasons.SensorExists);
    public static readonly ResourceKind ResinSystem = new("ResinSystem", "resinSystems", Studio, Reasons.ResinSystemNotFound, Reasons.ResinSystemExists);
    public static readonly ResourceKind Room = new("Room", "rooms", Site, Reasons.RoomNotFound, Reasons.RoomExists);
    public static readonly ResourceKind Station = new("Station", "stations", Site, Reasons.StationNotFound, Reasons.StationExists);
    public static readonly ResourceKind Outage = new("Outage", "outages", Site, Reasons.OutageNotFound, Reasons.OutageExists);
    public static readonly ResourceKind Offering = new("Offering", "offerings", Studio, Reasons.OfferingNotFound, Reasons.OfferingExists);
    public static readonly ResourceKind Instructor = new("Instructor", "instructors", Studio, Reasons.InstructorNotFound, Reasons.InstructorExists);
    public static readonly ResourceKind Absence = new("Absence", "absences", Instructor, Reasons.AbsenceNotFound, Reasons.AbsenceExists);
    public static readonly ResourceKind Lot = new("Lot", "lots", Studio, Reasons.LotNotFound, Reasons.LotExists);
    public static readonly ResourceKind Container = new("Container", "containers", Studio, Reasons.ContainerNotFound, Reasons.ContainerExists);
    public static readonly ResourceKind Mix = new("Mix", "mixes", Studio, Reasons.MixNotFound, Reasons.MixExists);
    public static readonly ResourceKind Piece = new("Piece", "pieces", Studio, Reasons.PieceNotFound, Reasons.PieceExists);
    public static readonly ResourceKind Pour = new("Pour", "pours", Piece, Reasons.PourNotFound, Reasons.PourExists);
    public static readonly ResourceKind Check = new("Check", "checks", Piece, Reasons.CheckNotFound, Reasons.CheckExists);
    public static readonly ResourceKind Step = new("Step", "steps", Piece, Reasons.StepNotFound, Reasons.StepExists);
    public static readonly ResourceKind Forecast = new("Forecast", "forecasts", Piece, Reasons.ForecastNotFound, Reasons.ForecastExists);
    public static readonly ResourceKind Reminder = new("Reminder", "reminders", Studio, Reasons.ReminderNotFound, Reasons.ReminderExists);
    public static readonly ResourceKind Defect = new("Defect", "defects", Studio, Reasons.DefectNotFound, Reasons.DefectExists);
    public static readonly ResourceKind CastingClass = new("CastingClass", "classes", Studio, Reasons.CastingClassNotFound, Reasons.CastingClassExists);
    public static readonly ResourceKind Session = new("Session", "sessions", CastingClass, Reasons.SessionNotFound, Reasons.SessionExists);
    public static readonly ResourceKind PrepTask = new("PrepTask", "tasks", CastingClass, Reasons.PrepTaskNotFound, Reasons.PrepTaskExists);
    public static readonly ResourceKind Student = new("Student", "students", Studio, Reasons.StudentNotFound, Reasons.StudentExists);
    public static readonly ResourceKind Enrolment = new("Enrolment", "enrolments", CastingClass, Reasons.EnrolmentNotFound, Reasons.EnrolmentExists);
    public static readonly ResourceKind Mould = new("Mould", "moulds", Site, Reasons.MouldNotFound, Reasons.MouldExists);
    public static readonly ResourceKind CalendarLink = new("CalendarLink", "calendarLinks", Studio, Reasons.CalendarLinkNotFound, Reasons.CalendarLinkExists);
    public static readonly ResourceKind Plan = new("Plan", "plans", Studio, Reasons.PlanNotFound, Reasons.PlanExists);
    public static readonly ResourceKind Seal = new("Seal", "seals", Studio, Reasons.SealNotFound, Reasons.SealExists);

    public static readonly ResourceKind AccessKey = new("AccessKey", "accessKeys", Studio, Reasons.AccessKeyNotFound, Reasons.AccessKeyExists);
    public static readonly ResourceKind StudentLink = new("StudentLink", "studentLinks", Studio, Reasons.StudentLinkNotFound, Reasons.StudentLinkExists);
    public static readonly ResourceKind Recall = new("Recall", "recalls", Studio, Reasons.RecallNotFound, Reasons.RecallExists);
    public static readonly ResourceKind RecallNotice = new("RecallNotice", "notices", Recall, Reasons.RecallNoticeNotFound, Reasons.RecallNoticeExists);

    public static readonly ResourceKind FailedMessage = new("FailedMessage", "failedMessages", null, Reasons.FailedMessageNotFound, Reasons.FailedMessageExists);

    private readonly string[] _collections;
    private readonly string _notFound;
    private readonly string _exists;

    private ResourceKind(string type, string collection, ResourceKind? parent, string notFound, string exists)
    {
        (Type, Collection, Parent, _notFound, _exists) = (type, collection, parent, notFound, exists);
        _collections = [.. parent?._collections ?? [], collection];
        Pattern = $"{(parent is null ? "" : parent.Pattern + "/")}{collection}/{Placeholder}";
    }

    /// <summary>Every kind, parents before children.</summary>
    public static IReadOnlyList<ResourceKind> All { get; } =
        [Studio, Site, Bench, Sensor, ResinSystem, Room, Station, Outage, Offering, Instructor, Absence, Lot, Container, Mix, Piece, Pour, Check, Step, Forecast, Reminder, Defect, CastingClass, Session, PrepTask, Student, Enrolment, Mould, CalendarLink, Plan, Recall, RecallNotice, Seal, FailedMessage, AccessKey, StudentLink];

    /// <summary>"ResinSystem".</summary>
    public string Type { get; }

    /// <summary>"resinSystems".</summary>
    public string Collection { get; }

    public ResourceKind? Parent { get; }

    /// <summary>"studios/{studio}/resinSystems/{resin_system}".</summary>
    public string Pattern { get; }

    private string Placeholder => $"{{{string.Concat(Type.Select((c, i) => i > 0 && char.IsUpper(c) ? $"_{c}" : $"{c}")).ToLowerInvariant()}}}";

    /// <summary>The pattern with the parent's ids filled in.</summary>
    public string PatternUnder(string parent) => $"{parent}/{string.Join('/', Pattern.Split('/')[^2..])}";

    /// <summary>Is <paramref name="name"/> a well-formed name of this kind? Says nothing of its existence.</summary>
    public bool Matches(string name)
    {
        var parts = name.Split('/');
        if (parts.Length != 2 * _collections.Length) return false;
        for (var i = 0; i < _collections.Length; i++)
            if (parts[2 * i] != _collections[i] || !ResourceNames.IsId(parts[2 * i + 1])) return false;
        return true;
    }

    /// <summary>The name of <paramref name="id"/> under <paramref name="parent"/>; the parent of a studio is "".</summary>
    /// <exception cref="ArgumentException">Parent or id is not well-formed; check the request's fields before.</exception>
    public string Under(string parent, string id)
    {
        var name = parent.Length == 0 ? $"{Collection}/{id}" : $"{parent}/{Collection}/{id}";
        return Matches(name) ? name : throw new ArgumentException($"'{name}' is not a name like {Pattern}.", nameof(id));
    }

    /// <summary>A new readable id such as "piece-7k3f-9qtm".</summary>
    public string NewId() => ResourceNames.NewId(Type.ToLowerInvariant());

    /// <summary>The chosen id, or a new one where it is empty.</summary>
    public string IdOrNew(string chosen) => chosen.Length == 0 ? NewId() : chosen;

    public Refusal NotFound(string name) => Refusal.NotFound(_notFound, Type, name);

    public Refusal AlreadyExists(string name) => Refusal.AlreadyExists(_exists, Type, name);
}
