using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Audit;

/// <summary>Names that lead to a student: theirs, of their places and of their links. People choose such ids, and they may be a person's name.</summary>
internal static class StudentNames
{
    /// <summary>Instead of an id that nothing bears.</summary>
    private const string Nobody = "-";

    private static readonly Dictionary<string, string> Tables = new()
    {
        [ResourceKind.Student.Collection] = "students",
        [ResourceKind.Enrolment.Collection] = "enrolments",
        [ResourceKind.StudentLink.Collection] = "student_links",
        [ResourceKind.CalendarLink.Collection] = "calendar_links",
    };

    public static bool AreIn(AuditRecord entry) => entry.EachName.Append(entry.AccessKey).Any(name => CollectionOf(name.Split('/')) >= 0);

    /// <summary>A name as it may be kept: what nothing of the studio bears, as one that was forgotten, becomes `studios/elm/students/-`.</summary>
    public static string OnRecord(StudioSession session, string studio, string name)
    {
        var parts = name.Split('/');
        if (CollectionOf(parts) is not (>= 0 and var at)) return name;
        var known = string.Join('/', parts.Take(at + 2));
        return ResourceNames.IsUnder(known, studio) && session.Scalar<long>($"SELECT count(*) FROM {Tables[parts[at]]} WHERE name = @known", new { known }) > 0
            ? name
            : $"{string.Join('/', parts.Take(at + 1))}/{Nobody}";
    }

    /// <summary>Where the collection stands among the parts; -1 where there is none.</summary>
    private static int CollectionOf(string[] parts) => Array.FindIndex(parts, Tables.ContainsKey);
}
