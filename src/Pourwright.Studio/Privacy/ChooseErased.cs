using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.StudentLinks;

namespace Pourwright.Studio.Privacy;

/// <summary>A piece that bears the student's name.</summary>
/// <param name="Class">The class by name; empty where it is of none.</param>
/// <param name="IsLinked">The student was given a link to it.</param>
internal sealed record NamedPiece(string Name, string Maker, string Class, bool IsLinked);

/// <summary>What is known of a student who is to be forgotten.</summary>
/// <param name="Places">Theirs, with all places of each class.</param>
/// <param name="Pieces">Those of the studio that bear their name, in whatever letters.</param>
/// <param name="HasNamesake">Another student of the studio bears the name.</param>
internal sealed record ErasureFacts(
    StudentRecord Student, IReadOnlyList<(EnrolmentRecord Place, IReadOnlyList<EnrolmentRecord> All)> Places, IReadOnlyList<NamedPiece> Pieces, bool HasNamesake);

/// <summary>Which pieces are a student's, so that their name goes and no other's.</summary>
internal static class ChooseErased
{
    /// <param name="said">Those that somebody says are the student's.</param>
    /// <exception cref="Refusal">FIELD_INVALID where one of them bears another name.</exception>
    public static IReadOnlyList<string> Decide(ErasureFacts facts, IReadOnlyList<string> said)
    {
        if (said.Except(facts.Pieces.Select(piece => piece.Name)).FirstOrDefault() is { } foreign)
            throw Refusal.Invalid("pieces", foreign, "must bear the student's name as maker. Leave it out: it does not name the student.");
        return [.. facts.Pieces.Where(piece => IsTheirs(piece, facts) || said.Contains(piece.Name)).Select(piece => piece.Name).Order(StringComparer.Ordinal)];
    }

    /// <summary>By a link, by the only seat of that name in its class, or where nobody else of the studio bears it.</summary>
    private static bool IsTheirs(NamedPiece piece, ErasureFacts facts) => piece.IsLinked || !facts.HasNamesake
        || facts.Places.Any(place => place.Place.Class == piece.Class && OwnPieces.Of(place.Place, place.All, [new(piece.Name, piece.Maker)]).Count > 0);
}
