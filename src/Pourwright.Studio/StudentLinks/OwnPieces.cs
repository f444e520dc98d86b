using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.StudentLinks;

/// <summary>Which pieces of a class are one student's.</summary>
/// <remarks>
/// A piece bears the name that was written on its label, which may be a former one. It is shown to the student of that name as long as nobody
/// else who ever had a place in the class was ever called so, in whatever letters: of two Annas neither is shown the other's piece, also once
/// one of them is called otherwise or is forgotten. They get a link for each piece.
/// </remarks>
public static class OwnPieces
{
    /// <param name="place">The student's.</param>
    /// <param name="places">All of the class, given up ones too.</param>
    /// <param name="makers">The maker of each piece of the class, by its name.</param>
    public static IReadOnlyList<string> Of(EnrolmentRecord place, IEnumerable<EnrolmentRecord> places, IEnumerable<KeyValuePair<string, string>> makers)
    {
        string[] own = place.NameShared ? [] : [.. place.Names.Where(name => !Namesakes(place, places).Any(other => IsCalled(other, name)))];
        return [.. makers.Where(piece => own.Any(name => IsSame(name, piece.Value))).Select(piece => piece.Key)];
    }

    public static IEnumerable<Caution> Cautions(EnrolmentRecord place, IEnumerable<EnrolmentRecord> places)
    {
        if (place.NameShared || Namesakes(place, places).Any())
            yield return Refusals.Cautions.Of(Reasons.NameShared,
                "Others of the class bear the same name or bore it, and pieces are told apart by it: this link shows the sessions and no piece of that name. Make a link for each piece as well.",
                ("casting_class", place.Class));
    }

    /// <summary>Places of other students who share a name with this one, now or formerly.</summary>
    public static IEnumerable<EnrolmentRecord> Namesakes(EnrolmentRecord place, IEnumerable<EnrolmentRecord> places) =>
        places.Where(other => other.Student != place.Student && place.Names.Any(name => IsCalled(other, name)));

    private static bool IsCalled(EnrolmentRecord place, string name) => place.Names.Any(one => IsSame(one, name));

    /// <summary>Whether two names are one, in whatever letters: stores fold only those of English.</summary>
    public static bool IsSame(string a, string b) => string.Equals(a.Trim(), b.Trim(), StringComparison.OrdinalIgnoreCase);
}
