namespace Pourwright.Cli.Kernel;

/// <summary>Completes short names within a studio and shortens full ones.</summary>
/// <remarks>Codes are lower case; a label reader that shouts is understood all the same. A full name is left alone.</remarks>
/// <param name="studio"><c>studios/{studio}</c>.</param>
/// <param name="defaultSite">Site of a bench or sensor that is named without one; may be nothing.</param>
public sealed class ResourceNames(string studio, string? defaultSite)
{
    /// <summary><c>studios/{studio}</c>.</summary>
    public string Studio { get; } = studio;

    /// <summary><c>studios/{studio}</c> from a bare or full name.</summary>
    public static string StudioOf(string text) => Complete(text, id => $"studios/{id}");

    /// <summary><c>north</c> to <c>studios/S/sites/north</c>.</summary>
    public string Site(string text) => Complete(text, id => $"{Studio}/sites/{id}");

    /// <summary><c>north/bench-1</c> to <c>studios/S/sites/north/benches/bench-1</c>.</summary>
    /// <exception cref="UsageException">The site is neither written nor set.</exception>
    public string Bench(string text) => OfSite(text, "benches");

    /// <summary><c>north/logger-1</c> to <c>studios/S/sites/north/sensors/logger-1</c>.</summary>
    /// <exception cref="UsageException">The site is neither written nor set.</exception>
    public string Sensor(string text) => OfSite(text, "sensors");

    /// <summary><c>north/hall</c> to <c>studios/S/sites/north/rooms/hall</c>.</summary>
    /// <exception cref="UsageException">The site is neither written nor set.</exception>
    public string Room(string text) => OfSite(text, "rooms");

    /// <summary><c>north/planer</c> to <c>studios/S/sites/north/stations/planer</c>.</summary>
    /// <exception cref="UsageException">The site is neither written nor set.</exception>
    public string Station(string text) => OfSite(text, "stations");

    /// <summary><c>north/outage-1</c> to <c>studios/S/sites/north/outages/outage-1</c>.</summary>
    /// <exception cref="UsageException">The site is neither written nor set.</exception>
    public string Outage(string text) => OfSite(text, "outages");

    /// <summary><c>tray</c> to <c>studios/S/offerings/tray</c>.</summary>
    public string Offering(string text) => Complete(text, id => $"{Studio}/offerings/{id}");

    /// <summary><c>ana</c> to <c>studios/S/instructors/ana</c>.</summary>
    public string Instructor(string text) => Complete(text, id => $"{Studio}/instructors/{id}");

    /// <summary><c>ana/absence-1</c> to <c>studios/S/instructors/ana/absences/absence-1</c>.</summary>
    /// <exception cref="UsageException">The instructor is not written.</exception>
    public string Absence(string text) => text.Split('/') switch
    {
        ["studios", ..] => text,
        [var instructor, var id] => $"{Instructor(instructor)}/absences/{id.ToLowerInvariant()}",
        _ => throw new UsageException($"'{text}' needs its instructor: write INSTRUCTOR/{text}."),
    };

    /// <summary><c>deep</c> to <c>studios/S/resinSystems/deep</c>.</summary>
    public string ResinSystem(string text) => Complete(text, id => $"{Studio}/resinSystems/{id}");

    /// <summary><c>lot-a1</c> to <c>studios/S/lots/lot-a1</c>.</summary>
    public string Lot(string text) => Complete(text, id => $"{Studio}/lots/{id}");

    /// <summary><c>can-a1</c> to <c>studios/S/containers/can-a1</c>.</summary>
    public string Container(string text) => Complete(text, id => $"{Studio}/containers/{id}");

    /// <summary><c>mix-1</c> to <c>studios/S/mixes/mix-1</c>.</summary>
    public string Mix(string text) => Complete(text, id => $"{Studio}/mixes/{id}");

    /// <summary><c>piece-7</c> to <c>studios/S/pieces/piece-7</c>.</summary>
    public string Piece(string text) => Complete(text, id => $"{Studio}/pieces/{id}");

    /// <summary><c>piece-7/pour-1</c> to <c>studios/S/pieces/piece-7/pours/pour-1</c>.</summary>
    /// <exception cref="UsageException">The piece is not written.</exception>
    public string Pour(string text) => text.Split('/') switch
    {
        ["studios", ..] => text,
        [var piece, var id] => $"{Piece(piece)}/pours/{id.ToLowerInvariant()}",
        _ => throw new UsageException($"'{text}' needs its piece: write PIECE/{text}."),
    };

    /// <summary><c>studios/S/pieces/piece-7/pours/pour-1</c> to <c>piece-7/pour-1</c>.</summary>
    public static string BriefPour(string name) => name.Split('/') is [.., var piece, _, var id] ? $"{piece}/{id}" : name;

    /// <summary><c>reminder-1</c> to <c>studios/S/reminders/reminder-1</c>.</summary>
    public string Reminder(string text) => Complete(text, id => $"{Studio}/reminders/{id}");

    /// <summary><c>defect-1</c> to <c>studios/S/defects/defect-1</c>.</summary>
    public string Defect(string text) => Complete(text, id => $"{Studio}/defects/{id}");

    /// <summary><c>recall-1</c> to <c>studios/S/recalls/recall-1</c>.</summary>
    public string Recall(string text) => Complete(text, id => $"{Studio}/recalls/{id}");

    /// <summary><c>recall-1/notice-4</c> to <c>studios/S/recalls/recall-1/notices/notice-4</c>.</summary>
    /// <exception cref="UsageException">The recall is not written.</exception>
    public string RecallNotice(string text) => text.Split('/') switch
    {
        ["studios", ..] => text,
        [var recall, var id] => $"{Recall(recall)}/notices/{id.ToLowerInvariant()}",
        _ => throw new UsageException($"'{text}' needs its recall: write RECALL/{text}."),
    };

    /// <summary><c>seal-1</c> to <c>studios/S/seals/seal-1</c>.</summary>
    public string Seal(string text) => Complete(text, id => $"{Studio}/seals/{id}");

    /// <summary><c>boards</c> to <c>studios/S/classes/boards</c>.</summary>
    public string Class(string text) => Complete(text, id => $"{Studio}/classes/{id}");

    /// <summary><c>boards/leak-check</c> to <c>studios/S/classes/boards/tasks/leak-check</c>.</summary>
    /// <exception cref="UsageException">The class is not written.</exception>
    public string Task(string text) => OfClass(text, "tasks");

    /// <summary><c>boards/place-1</c> to <c>studios/S/classes/boards/enrolments/place-1</c>.</summary>
    /// <exception cref="UsageException">The class is not written.</exception>
    public string Enrolment(string text) => OfClass(text, "enrolments");

    /// <summary><c>mara</c> to <c>studios/S/students/mara</c>.</summary>
    public string Student(string text) => Complete(text, id => $"{Studio}/students/{id}");

    /// <summary><c>north/tray</c> to <c>studios/S/sites/north/moulds/tray</c>.</summary>
    /// <exception cref="UsageException">The site is neither written nor set.</exception>
    public string Mould(string text) => OfSite(text, "moulds");

    /// <summary><c>trays-1/pour</c> to <c>studios/S/classes/trays-1/sessions/pour</c>.</summary>
    /// <exception cref="UsageException">Not a class and a session.</exception>
    public string Session(string text) => text.Split('/') is [var castingClass, var session]
        ? $"{Studio}/classes/{castingClass.ToLowerInvariant()}/sessions/{session.ToLowerInvariant()}"
        : Complete(text, _ => throw new UsageException($"'{text}' is not a session: write CLASS/SESSION, such as trays-1/pour."));

    /// <summary><c>link-1</c> to <c>studios/S/calendarLinks/link-1</c>.</summary>
    public string AccessKey(string text) => Complete(text, id => $"{Studio}/accessKeys/{id}");

    public string CalendarLink(string text) => Complete(text, id => $"{Studio}/calendarLinks/{id}");

    /// <summary><c>link-1</c> to <c>studios/S/studentLinks/link-1</c>.</summary>
    public string StudentLink(string text) => Complete(text, id => $"{Studio}/studentLinks/{id}");

    /// <summary><c>plan-1</c> to <c>studios/S/plans/plan-1</c>; <c>published</c> is the one that holds.</summary>
    public string Plan(string text) => Complete(text, id => $"{Studio}/plans/{id}");

    /// <summary>What people say: the last id, with its site, class, instructor or recall before it where it belongs to one.</summary>
    public static string Brief(string name) => name.Split('/') switch
    {
        ["studios", _, "sites" or "classes" or "instructors" or "recalls", var home, _, var id] => $"{home}/{id}",
        [.., var id] => id,
        [] => "",
    };

    /// <summary>The site part of the name of a site, bench or sensor; else the name itself.</summary>
    public static string SiteOf(string name) =>
        name.Split('/') is ["studios", var studio, "sites", var site, ..] ? $"studios/{studio}/sites/{site}" : name;

    private string OfSite(string text, string collection) => text.Split('/') switch
    {
        ["studios", ..] => text,
        [var site, var id] => $"{Site(site)}/{collection}/{id.ToLowerInvariant()}",
        _ when defaultSite is not null => Complete(text, id => $"{Site(defaultSite)}/{collection}/{id}"),
        _ => throw new UsageException($"'{text}' needs its site: write SITE/{text}, or set --site or POURWRIGHT_SITE."),
    };

    private string OfClass(string text, string collection) => text.Split('/') switch
    {
        ["studios", ..] => text,
        [var castingClass, var id] => $"{Class(castingClass)}/{collection}/{id.ToLowerInvariant()}",
        _ => throw new UsageException($"'{text}' needs its class: write CLASS/{text}."),
    };

    private static string Complete(string text, Func<string, string> complete) =>
        text.StartsWith("studios/", StringComparison.Ordinal) ? text : complete(text.Trim().ToLowerInvariant());
}
