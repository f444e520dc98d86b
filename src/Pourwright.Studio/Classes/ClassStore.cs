using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Classes.Prep;
using Pourwright.Studio.Names;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using State = Pourwright.V1.CastingClass.Types.State;

namespace Pourwright.Studio.Classes;

/// <summary>Which classes a list asks for; days are yyyy-MM-dd, empty for no limit.</summary>
public sealed record ClassFilter(State State, string StartDate, string EndDate);

/// <summary>Which sessions a list asks for; empty names are no limit. Times in Unix ms.</summary>
public sealed record SessionFilter(string Site = "", string Instructor = "", long StartMs = long.MinValue, long EndMs = long.MaxValue);

/// <summary>SQL of classes and their sessions.</summary>
public static class ClassStore
{
    private const string ClassColumns =
        """
        SELECT name, studio, display_name, offering, seats, pieces, first_date, last_date, weekdays, favourite_date, state,
               cancel_reason, etag
          FROM classes
        """;

    public static ClassRecord? FindClass(StudioSession session, string name) =>
        session.Find<ClassRecord>($"{ClassColumns} WHERE name = @name", new { name }) is { } row ? WithSites(session, row) : null;

    /// <exception cref="Refusals.Refusal">CASTING_CLASS_NOT_FOUND.</exception>
    public static ClassRecord GetClass(StudioSession session, string name) =>
        FindClass(session, name) ?? throw ResourceKind.CastingClass.NotFound(name);

    /// <summary>Every class of a studio that is asked for or has its sessions, by id.</summary>
    public static IReadOnlyList<ClassRecord> GetOpenClasses(StudioSession session, string studio) =>
        [.. session.Query<ClassRecord>($"{ClassColumns} WHERE studio = @studio AND state IN (1, 2) ORDER BY name", new { studio })
            .Select(row => WithSites(session, row))];

    /// <summary>By id. A class touches the days of its sessions, or those asked for while it has none.</summary>
    public static IReadOnlyList<ClassRecord> ListClasses(StudioSession session, string studio, ClassFilter filter, PageRequest page) =>
        [.. session.Query<ClassRecord>(
            $"""
            {ClassColumns}
             WHERE studio = @studio AND name > @after AND (@state = 0 OR state = @state)
               AND (@StartDate = '' OR @StartDate <= coalesce(
                    (SELECT max(local_date) FROM sessions WHERE class = classes.name AND sessions.state <> 3), last_date))
               AND (@EndDate = '' OR @EndDate >= coalesce(
                    (SELECT min(local_date) FROM sessions WHERE class = classes.name AND sessions.state <> 3), first_date))
             ORDER BY name LIMIT @limit
            """,
            new { studio, after = page.AfterText, state = (int)filter.State, filter.StartDate, filter.EndDate, limit = page.Limit })
            .Select(row => WithSites(session, row))];

    /// <exception cref="Refusals.Refusal">CASTING_CLASS_EXISTS.</exception>
    public static void InsertClass(StudioTransaction tx, ClassRecord castingClass)
    {
        if (FindClass(tx, castingClass.Name) is not null) throw ResourceKind.CastingClass.AlreadyExists(castingClass.Name);
        tx.Execute(
            """
            INSERT INTO classes (name, studio, display_name, offering, seats, pieces, first_date, last_date, weekdays,
                                 favourite_date, state, cancel_reason, etag)
            VALUES (@Name, @Studio, @DisplayName, @Offering, @Seats, @Pieces, @FirstDate, @LastDate, @Weekdays,
                    @FavouriteDate, @State, @CancelReason, @Etag)
            """, castingClass);
        InsertSites(tx, castingClass);
    }

    public static void UpdateClass(StudioTransaction tx, ClassRecord castingClass)
    {
        tx.Execute(
            """
            UPDATE classes
               SET display_name = @DisplayName, offering = @Offering, seats = @Seats, pieces = @Pieces, first_date = @FirstDate,
                   last_date = @LastDate, weekdays = @Weekdays, favourite_date = @FavouriteDate, state = @State,
                   cancel_reason = @CancelReason, etag = @Etag
             WHERE name = @Name
            """, castingClass);
        tx.Execute("DELETE FROM class_sites WHERE class = @Name", castingClass);
        InsertSites(tx, castingClass);
    }

    private const string SessionColumns =
        """
        SELECT name, class, kind, site, bench, start_ms, end_ms, local_date, local_start_minute, time_zone, tzdb_version,
               instructor, state, sequence, change_reason, change_ms,
               coalesce((SELECT closer FROM session_closings c WHERE c.session = sessions.name), '') AS closer,
               (SELECT close_ms FROM session_closings c WHERE c.session = sessions.name) AS close_ms
          FROM sessions
        """;

    /// <summary>Records that a session is closed; once.</summary>
    public static void Close(StudioTransaction tx, SessionRecord session) => tx.Execute(
        "INSERT INTO session_closings (session, closer, close_ms) VALUES (@Name, @Closer, @CloseMs)", session);

    /// <exception cref="Refusals.Refusal">SESSION_NOT_FOUND.</exception>
    public static SessionRecord GetSession(StudioSession session, string name) =>
        session.Find<SessionRecord>($"{SessionColumns} WHERE name = @name", new { name }) ?? throw ResourceKind.Session.NotFound(name);

    /// <summary>The sessions of a class, cancelled ones too: pour, machine day, finish.</summary>
    public static IReadOnlyList<SessionRecord> GetSessions(StudioSession session, string castingClass) =>
        session.Query<SessionRecord>($"{SessionColumns} WHERE class = @castingClass ORDER BY kind", new { castingClass });

    /// <summary>The sessions of a studio that overlap a span, without cancelled ones; by their start.</summary>
    public static IReadOnlyList<SessionRecord> GetLiveSessions(StudioSession session, string studio, long startMs, long endMs) =>
        session.Query<SessionRecord>(
            $"""
            {SessionColumns}
             WHERE class IN (SELECT name FROM classes WHERE studio = @studio) AND state <> 3 AND start_ms < @endMs AND end_ms > @startMs
             ORDER BY start_ms, name
            """, new { studio, startMs, endMs });

    /// <summary>By their start, cancelled ones too.</summary>
    public static IReadOnlyList<SessionRecord> ListSessions(StudioSession session, string studio, SessionFilter filter, PageRequest page) =>
        session.Query<SessionRecord>(
            $"""
            {SessionColumns}
             WHERE class IN (SELECT name FROM classes WHERE studio = @studio) AND (start_ms, name) > (@number, @text)
               AND (@Site = '' OR site = @Site) AND (@Instructor = '' OR instructor = @Instructor)
               AND start_ms >= @StartMs AND start_ms < @EndMs
             ORDER BY start_ms, name LIMIT @limit
            """,
            new
            {
                studio, number = page.AfterNumber, text = page.AfterText, filter.Site, filter.Instructor, filter.StartMs, filter.EndMs,
                limit = page.Limit,
            });

    /// <summary>Gives a class its sessions: all it is to have, an empty list for none. Those that are as they were stay untouched.</summary>
    /// <remarks>
    /// Sequence, state and reason of <paramref name="wanted"/> are not read: they follow from what was before. Tasks are made or
    /// moved with the pour, a class becomes CONFIRMED, or REQUESTED again where it is left without sessions, and whoever comes is told
    /// by one message: <see cref="SessionsChanged"/>. A class that was given up is told of even where it had no sessions. Seats that
    /// are free may suit somebody who waits, now that the days are others.
    /// </remarks>
    /// <returns>What has changed.</returns>
    public static IReadOnlyList<SessionChange> SaveSessions(
        StudioTransaction tx, ClassRecord castingClass, IReadOnlyList<SessionRecord> wanted, string reason, ClassOptions options)
    {
        var changes = SessionChanges.Decide(GetSessions(tx, castingClass.Name), wanted, reason);
        foreach (var change in changes) Upsert(tx, change.After with { ChangeMs = tx.Now.ToUnixMs() });
        SaveTasks(tx, castingClass, options);
        if (changes.Count > 0 && castingClass.State != State.Cancelled)
            UpdateClass(tx, castingClass with { State = wanted.Count > 0 ? State.Confirmed : State.Requested, Etag = tx.NewEtag() });
        IReadOnlyList<SessionChange> news = [.. changes.Where(change => change.IsNews)];
        var isGivenUp = castingClass.State == State.Cancelled;
        if (news.Count > 0 || isGivenUp) tx.Publish(new SessionsChanged(castingClass.Name, reason, news, isGivenUp));
        SeatOffers.OfferFree(tx, castingClass.Name, options);
        return changes;
    }

    /// <summary>Classes whose last session is over.</summary>
    public static IReadOnlyList<ClassRecord> GetOverClasses(StudioSession session, long nowMs) => session.Query<ClassRecord>(
        $"""
        {ClassColumns}
         WHERE state = 2 AND NOT EXISTS (SELECT 1 FROM sessions WHERE class = classes.name AND sessions.state <> 3 AND end_ms > @nowMs)
         ORDER BY name
        """, new { nowMs });

    public static void MarkDone(StudioTransaction tx, string name) => tx.Execute(
        "UPDATE classes SET state = @done, etag = @etag WHERE name = @name", new { name, done = (int)State.Done, etag = tx.NewEtag() });

    private static void SaveTasks(StudioTransaction tx, ClassRecord castingClass, ClassOptions options)
    {
        var pour = GetSessions(tx, castingClass.Name).FirstOrDefault(session => session is { IsLive: true, Kind: Session.Types.Kind.Pour });
        if (pour is null) PrepTaskStore.DropOpen(tx, castingClass.Name);
        else
            PrepTaskStore.Save(tx, PrepTasks.Decide(
                pour, OfferingStore.GetOffering(tx, castingClass.Offering).MouldPrepDays, PrepTaskStore.GetTasks(tx, castingClass.Name), options));
    }

    private static void Upsert(StudioTransaction tx, SessionRecord session) => tx.Execute(
        """
        INSERT INTO sessions (name, class, kind, site, bench, start_ms, end_ms, local_date, local_start_minute, time_zone,
                              tzdb_version, instructor, state, sequence, change_reason, change_ms)
        VALUES (@Name, @Class, @Kind, @Site, @Bench, @StartMs, @EndMs, @LocalDate, @LocalStartMinute, @TimeZone,
                @TzdbVersion, @Instructor, @State, @Sequence, @ChangeReason, @ChangeMs)
        ON CONFLICT (name) DO UPDATE
           SET site = excluded.site, bench = excluded.bench, start_ms = excluded.start_ms, end_ms = excluded.end_ms,
               local_date = excluded.local_date, local_start_minute = excluded.local_start_minute, time_zone = excluded.time_zone,
               tzdb_version = excluded.tzdb_version, instructor = excluded.instructor, state = excluded.state,
               sequence = excluded.sequence, change_reason = excluded.change_reason, change_ms = excluded.change_ms
        """, session);

    private static ClassRecord WithSites(StudioSession session, ClassRecord row) => row with
    {
        Sites = session.Query<string>("SELECT site FROM class_sites WHERE class = @Name ORDER BY position", row),
    };

    private static void InsertSites(StudioTransaction tx, ClassRecord castingClass) => tx.Execute(
        "INSERT INTO class_sites (class, site, position) VALUES (@Name, @site, @position)",
        castingClass.Sites.Select((site, position) => new { castingClass.Name, site, position }));
}
