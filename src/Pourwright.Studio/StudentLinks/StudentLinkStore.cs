using Pourwright.Studio.Classes;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.StudentLinks;

/// <summary>SQL of students' links, and of what one shows.</summary>
internal static class StudentLinkStore
{
    private const string Columns = "SELECT name, studio, enrolment, piece, student, link_sha256, create_ms, expire_ms, revoke_ms FROM student_links";

    private const long DayMs = 86_400_000;

    /// <exception cref="Refusals.Refusal">STUDENT_LINK_NOT_FOUND.</exception>
    public static StudentLinkRecord Get(StudioSession session, string name) => Find(session, name) ?? throw ResourceKind.StudentLink.NotFound(name);

    public static IReadOnlyList<StudentLinkRecord> List(StudioSession session, string studio, PageRequest page) => session.Query<StudentLinkRecord>(
        $"{Columns} WHERE studio = @studio AND name > @after ORDER BY name LIMIT @limit", new { studio, after = page.AfterText, limit = page.Limit });

    /// <exception cref="Refusals.Refusal">STUDENT_LINK_EXISTS.</exception>
    public static void Insert(StudioTransaction tx, StudentLinkRecord link)
    {
        if (Find(tx, link.Name) is not null) throw ResourceKind.StudentLink.AlreadyExists(link.Name);
        tx.Execute(
            """
            INSERT INTO student_links (name, studio, enrolment, piece, student, link_sha256, create_ms, expire_ms)
            VALUES (@Name, @Studio, @Enrolment, @Piece, @Student, @LinkSha256, @CreateMs, @ExpireMs)
            """, link);
    }

    public static void Revoke(StudioTransaction tx, string name, long revokeMs) =>
        tx.Execute("UPDATE student_links SET revoke_ms = @revokeMs WHERE name = @name AND revoke_ms IS NULL", new { name, revokeMs });

    /// <exception cref="Refusals.Refusal">ENROLMENT_NOT_FOUND, PIECE_NOT_FOUND, STUDENT_NOT_FOUND.</exception>
    public static LinkGrounds LoadGrounds(StudioSession session, StudentLink link)
    {
        if (link.Student.Length > 0) StudentStore.GetStudent(session, link.Student);
        if (link.ScopeCase == StudentLink.ScopeOneofCase.Enrolment)
        {
            var enrolment = StudentStore.GetEnrolment(session, link.Enrolment);
            return new(enrolment, LastOf(session, enrolment.Class));
        }
        var piece = PieceStore.GetPiece(session, link.Piece);
        return new(null, LastOf(session, piece.CastingClass) ?? piece.PlannedSessionMs);
    }

    /// <summary>The places of the class that a link is of; none for a piece.</summary>
    public static IReadOnlyList<EnrolmentRecord> Places(StudioSession session, EnrolmentRecord place) => StudentStore.GetEnrolments(session, place.Class);

    public static OwnPageFacts LoadPage(StudioSession session, string name, DateTimeOffset now)
    {
        var link = Get(session, name);
        var place = link.Enrolment is { } enrolment ? StudentStore.GetEnrolment(session, enrolment) : null;
        var pieces = PieceStore.GetPieces(session, place is null ? [link.Piece!] : OwnPieces.Of(place, Places(session, place), Makers(session, place.Class)));
        var castingClass = ClassStore.FindClass(session, place?.Class ?? pieces[0].CastingClass);
        var attends = castingClass is not null && place is null or { HoldsSeat: true };
        return new(
            link, SiteStore.GetStudio(session, link.Studio).DisplayName, castingClass?.DisplayName ?? "",
            attends && castingClass is not null ? ClassStore.GetSessions(session, castingClass.Name) : [],
            SiteStore.GetSites(session).ToDictionary(site => site.Name, site => site.DisplayName),
            [.. pieces.Select(piece => LoadPiece(session, piece, now))]);
    }

    private static OwnPieceFacts LoadPiece(StudioSession session, PieceRecord piece, DateTimeOffset now) => new(
        piece, SiteStore.GetSite(session, piece.Site), Readiness.Of(session, piece, now), ForecastStore.StandingGates(session, piece.Name),
        session.Query<ForecastStep>("SELECT cause, forecast_ms, handle_safe_ms FROM forecasts WHERE piece = @Name ORDER BY revision", piece));

    private static IReadOnlyList<KeyValuePair<string, string>> Makers(StudioSession session, string castingClass) =>
        [.. session.Query<MadePiece>("SELECT name, maker FROM pieces WHERE casting_class = @castingClass", new { castingClass })
            .Select(piece => KeyValuePair.Create(piece.Name, piece.Maker))];

    /// <summary>When a class is over: its last session, or the last of the days asked for, taken in UTC.</summary>
    private static long? LastOf(StudioSession session, string castingClass) => ClassStore.FindClass(session, castingClass) is not { } found
        ? null
        : ClassStore.GetSessions(session, castingClass).Where(one => one.IsLive).Max(one => (long?)one.EndMs)
            ?? new DateTimeOffset(Days.FromColumn(found.LastDate), TimeOnly.MinValue, TimeSpan.Zero).ToUnixMs() + DayMs;

    private static StudentLinkRecord? Find(StudioSession session, string name) => session.Find<StudentLinkRecord>($"{Columns} WHERE name = @name", new { name });

    private sealed record MadePiece(string Name, string Maker);
}
