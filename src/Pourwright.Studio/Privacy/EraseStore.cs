using System.Text;
using Google.Protobuf;
using Pourwright.Studio.Audit;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Names;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;
using Pourwright.Studio.StudentLinks;
using Pourwright.V1;

namespace Pourwright.Studio.Privacy;

/// <summary>SQL that forgets a person.</summary>
/// <remarks>
/// What is evidence keeps its row, its place in the chain and a pseudonym; what only served the person goes. A student's id may be a name as
/// well: the row gets another, and so do their places.
/// </remarks>
internal static class EraseStore
{
    /// <summary>Of a student who was forgotten.</summary>
    public const string ErasedEtag = "erased";

    private static readonly JsonParser Json = new(JsonParser.Settings.Default.WithIgnoreUnknownFields(true));

    /// <returns>What was done, and the hashes of the links that are shut.</returns>
    public static (ErasePersonResponse Done, IReadOnlyList<byte[]> Links) Erase(StudioTransaction tx, StudentRecord student, IReadOnlyList<NamedPiece> pieces, IReadOnlyList<string> others)
    {
        var person = new Pseudonym(student, ResourceKind.Student.Under(student.Studio, ResourceNames.NewId("person")));
        string[] names = [.. pieces.Select(piece => piece.Name)];
        var erased = names.Where(piece => EraseRow(tx, "pieces", piece, person, ("maker", person.DisplayName))).ToArray();
        EraseNotices(tx, person, pieces);
        EraseFound(tx, person, pieces);
        EraseAudit(tx, person);
        var links = tx.Query<byte[]>(
            "SELECT link_sha256 FROM student_links WHERE student = @name OR enrolment IN (SELECT name FROM enrolments WHERE student = @name)", new { name = student.Name });
        var places = PersonStore.Places(tx, student.Name);
        EraseLinks(tx, student.Name);
        var messages = EraseMessages(tx, student.Name, places);
        MoveStudent(tx, person, places);
        ForgetAnswers(tx, [student.Name, student.ContactEmail, .. student.Names, .. places.Select(place => place.Name), .. pieces.Select(piece => piece.Maker)]);
        return (new()
        {
            Pseudonym = person.Name,
            Pieces = { erased },
            KeptPieces = { others.Concat(names.Except(erased)).Order(StringComparer.Ordinal) },
            LinkCount = links.Count,
            MessageCount = messages,
        }, links);
    }

    private static bool EraseRow(StudioTransaction tx, string table, string key, Pseudonym person, params ReadOnlySpan<(string Column, string Text)> texts)
    {
        Dictionary<string, string> replacements = [];
        foreach (var (column, text) in texts) replacements[column] = text;
        return Erasure.Erase(tx, EvidenceTable.Find(table)!, key, person.Student.Studio, person.DisplayName, replacements);
    }

    /// <summary>Notices to the student, and those that name the maker of their pieces without knowing whom.</summary>
    private static void EraseNotices(StudioTransaction tx, Pseudonym person, IReadOnlyList<NamedPiece> pieces)
    {
        foreach (var notice in PersonStore.Notices(tx, person.Student, pieces))
        {
            var recipient = notice.Recipient == person.Student.Name ? person.Name : notice.Recipient.Length > 0 ? person.DisplayName : "";
            EraseRow(tx, "recall_notices", notice.Name, person, ("person", person.DisplayName), ("recipient", recipient), ("email", ""));
            tx.Execute("UPDATE recall_notices SET chase_due_ms = NULL WHERE name = @Name", new { notice.Name });
        }
    }

    /// <summary>Lists of recalls as they were found: who holds a piece, and of a drill whom it would have told.</summary>
    private static void EraseFound(StudioTransaction tx, Pseudonym person, IReadOnlyList<NamedPiece> pieces)
    {
        foreach (var name in tx.Query<string>("SELECT name FROM recalls WHERE studio = @Studio", person.Student))
        {
            var found = Json.Parse<Recall>(tx.Scalar<string>("SELECT found FROM recalls WHERE name = @name", new { name }));
            var held = (found.List?.Pieces ?? []).Where(piece => ChooseErased.IsAboutNoneBut(piece.Holder, [piece.Piece], pieces)).ToArray();
            var told = found.Notices.Where(notice => notice.Student == person.Student.Name || (notice.Student.Length == 0 && ChooseErased.IsAboutNoneBut(notice.Person, notice.Pieces, pieces))).ToArray();
            if (held.Length + told.Length == 0) continue;
            foreach (var piece in held) piece.Holder = person.DisplayName;
            foreach (var notice in told) (notice.Person, notice.Student) = (person.DisplayName, notice.Student.Length > 0 ? person.Name : "");
            EraseRow(tx, "recalls", name, person, ("found", RecallRecord.Write(found)));
        }
    }

    /// <summary>Who did what to the student stays; whom they did it to goes by the pseudonym, and so do places and links.</summary>
    private static void EraseAudit(StudioTransaction tx, Pseudonym person) => AuditStore.Erase(
        tx, person.Student.Studio, person.DisplayName,
        tx.Query<string>(
            """
            SELECT @Name UNION SELECT name FROM enrolments WHERE student = @Name UNION SELECT name FROM calendar_links WHERE subject = @Name
             UNION SELECT name FROM student_links WHERE student = @Name OR enrolment IN (SELECT name FROM enrolments WHERE student = @Name)
            """, new { person.Student.Name }).ToDictionary(name => name, _ => person.Name));

    private static void EraseLinks(StudioTransaction tx, string student)
    {
        tx.Execute("DELETE FROM student_links WHERE student = @student OR enrolment IN (SELECT name FROM enrolments WHERE student = @student)", new { student });
        tx.Execute("DELETE FROM calendar_links WHERE subject = @student", new { student });
        tx.Execute("DELETE FROM health_notes WHERE student = @student", new { student });
    }

    /// <summary>Messages to the student or about a place of theirs, and what of them is still to be delivered.</summary>
    private static int EraseMessages(StudioTransaction tx, string student, IReadOnlyList<EnrolmentRecord> places)
    {
        string[] subjects = [student, .. places.Select(place => place.Name)];
        var count = 0;
        foreach (var subject in subjects)
        {
            tx.Execute("DELETE FROM deliveries WHERE reminder IN (SELECT name FROM reminders WHERE recipient = @subject OR subject = @subject)", new { subject });
            count += tx.ExecuteCounted("DELETE FROM reminders WHERE recipient = @subject OR subject = @subject", new { subject });
            tx.Execute("DELETE FROM outbox WHERE body LIKE @quoted", new { quoted = $"%\"{subject}\"%" });
        }
        return count;
    }

    private static void MoveStudent(StudioTransaction tx, Pseudonym person, IReadOnlyList<EnrolmentRecord> places)
    {
        StudentStore.InsertStudent(tx, new() { Name = person.Name, Studio = person.Student.Studio, DisplayName = person.DisplayName, ContactEmail = "", ConsentToMessages = false, Etag = ErasedEtag });
        foreach (var place in places)
            tx.Execute("UPDATE enrolments SET student = @student, name = @renamed, accepted_dates = '' WHERE name = @Name",
                new { student = person.Name, renamed = ResourceKind.Enrolment.Under(place.Class, ResourceKind.Enrolment.NewId()), place.Name });
        tx.Execute("DELETE FROM students WHERE name = @Name", person.Student);
    }

    /// <summary>Answers that are kept for repeats are bytes: they are looked through here, a week's worth.</summary>
    private static void ForgetAnswers(StudioTransaction tx, IEnumerable<string> names)
    {
        byte[][] words = [.. names.Where(name => name.Length > 0).Distinct().Select(Encoding.UTF8.GetBytes)];
        foreach (var row in tx.Query<AnswerRow>("SELECT method, request_id, answer FROM requests_seen").Where(row => words.Any(word => row.Answer.AsSpan().IndexOf(word) >= 0)).ToArray())
            tx.Execute("DELETE FROM requests_seen WHERE method = @Method AND request_id = @RequestId", new { row.Method, row.RequestId });
    }

    /// <param name="Student">Who was.</param>
    /// <param name="Name">What they are called from now on, as a resource.</param>
    private sealed record Pseudonym(StudentRecord Student, string Name)
    {
        public string DisplayName => ResourceNames.IdOf(Name);
    }

    private sealed record AnswerRow
    {
        public required string Method { get; init; }
        public required string RequestId { get; init; }
        public required byte[] Answer { get; init; }
    }
}
