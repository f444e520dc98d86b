using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Access;

/// <summary>Which sites a thing belongs to, by its name alone.</summary>
/// <param name="questions">By the collection below the studio: what to ask of @name, the name of the thing itself. A null is a thing of no site.</param>
public sealed class ThingSites(IReadOnlyDictionary<string, string> questions)
{
    private const string SiteCollection = "sites";

    /// <summary>What is of a site without its name saying so; whatever is not here is the whole studio's.</summary>
    public static IReadOnlyDictionary<string, string> Questions { get; } = new Dictionary<string, string>
    {
        ["pieces"] = "SELECT site FROM pieces WHERE name = @name",
        ["containers"] = "SELECT site FROM containers WHERE name = @name",
        ["mixes"] = "SELECT site FROM mixes WHERE name = @name",
        ["reminders"] = "SELECT site FROM reminders WHERE name = @name",
        ["defects"] = "SELECT p.site FROM defects d JOIN pieces p ON p.name = d.piece WHERE d.name = @name",
        // Where its containers are.
        ["lots"] =
            """
            SELECT DISTINCT c.site FROM lots l
              LEFT JOIN container_events e ON e.lot = l.name AND e.kind = 'received'
              LEFT JOIN containers c ON c.name = e.container
             WHERE l.name = @name
            """,
        // Where it is taught, or where it may be as long as it has no dates.
        ["classes"] =
            """
            SELECT DISTINCT coalesce(s.site, w.site) FROM classes c
              LEFT JOIN sessions s ON s.class = c.name
              LEFT JOIN class_sites w ON w.class = c.name
             WHERE c.name = @name
            """,
        // Where their classes are taught, or may be.
        ["students"] =
            """
            SELECT DISTINCT coalesce(s.site, w.site) FROM students t
              LEFT JOIN enrolments e ON e.student = t.name
              LEFT JOIN sessions s ON s.class = e.class
              LEFT JOIN class_sites w ON w.class = e.class
             WHERE t.name = @name
            """,
        ["instructors"] =
            """
            SELECT home_site FROM instructors WHERE name = @name
             UNION
            SELECT site FROM sessions WHERE instructor = @name
            """,
        // Where its piece is, or where its class is taught, or may be.
        ["studentLinks"] =
            """
            SELECT DISTINCT coalesce(p.site, s.site, w.site) FROM student_links l
              LEFT JOIN pieces p ON p.name = l.piece
              LEFT JOIN enrolments e ON e.name = l.enrolment
              LEFT JOIN sessions s ON s.class = e.class
              LEFT JOIN class_sites w ON w.class = e.class
             WHERE l.name = @name
            """,
        // Those of a student or an instructor are of the studio: whoever may have such links may have them all.
        ["calendarLinks"] =
            """
            SELECT i.name FROM calendar_links c LEFT JOIN sites i ON i.name = c.subject WHERE c.name = @name
            """,
    };

    /// <summary>Its sites; none for what is the whole studio's; null where there is no such thing.</summary>
    public IReadOnlyList<string>? Find(StudioSession session, string name)
    {
        var parts = name.Split('/');
        if (parts.Length < 4) return [];
        var owner = string.Join('/', parts[..4]);
        if (parts[2] == SiteCollection) return [owner];
        if (!questions.TryGetValue(parts[2], out var question)) return [];
        var sites = session.Query<string?>(question, new { name = owner });
        return sites.Count == 0 ? null : [.. sites.OfType<string>()];
    }
}
