using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.StudentLinks;

/// <summary>Which pieces of a class are one student's.</summary>
/// <remarks>
/// A piece bears the name that was written on its label. It is shown to the student of that name as long as nobody else ever had a place in
/// the class under it, in whatever letters: of two Annas neither is shown the other's piece. They get a link for each piece.
/// </remarks>
public static class OwnPieces
{
    /// <param name="place">The student's.</param>
    /// <param name="places">All of the class, given up ones too.</param>
    /// <param name="makers">The maker of each piece of the class, by its name.</param>
    public static IReadOnlyList<string> Of(EnrolmentRecord place, IEnumerable<EnrolmentRecord> places, IEnumerable<KeyValuePair<string, string>> makers) =>
        HasNamesakes(place, places) ? [] : [.. makers.Where(piece => IsSame(piece.Value, place.StudentDisplayName)).Select(piece => piece.Key)];

    public static IEnumerable<Caution> Cautions(EnrolmentRecord place, IEnumerable<EnrolmentRecord> places)
    {
        if (HasNamesakes(place, places))
            yield return Refusals.Cautions.Of(Reasons.NameShared,
                "Others of the class bear the same name, and pieces are told apart by it: this link shows the sessions and no piece. Make a link for each piece as well.",
                ("casting_class", place.Class));
    }

    private static bool HasNamesakes(EnrolmentRecord place, IEnumerable<EnrolmentRecord> places) =>
        places.Any(other => other.Student != place.Student && IsSame(other.StudentDisplayName, place.StudentDisplayName));

    /// <summary>Whether two names are one, in whatever letters: stores fold only those of English.</summary>
    public static bool IsSame(string a, string b) => string.Equals(a.Trim(), b.Trim(), StringComparison.OrdinalIgnoreCase);
}
