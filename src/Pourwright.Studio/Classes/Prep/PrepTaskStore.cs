using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Classes.Prep;

/// <summary>Which tasks a list asks for; empty names are no limit, times in Unix ms.</summary>
public sealed record TaskFilter(string Site, string Class, long DueBeforeMs, bool IncludeDone);

/// <summary>SQL of tasks before a pour.</summary>
public static class PrepTaskStore
{
    private const string Columns = "SELECT name, class, site, kind, due_ms, done_ms, done_by FROM tasks";

    /// <exception cref="Refusals.Refusal">PREP_TASK_NOT_FOUND.</exception>
    public static PrepTaskRecord GetTask(StudioSession session, string name) =>
        session.Find<PrepTaskRecord>($"{Columns} WHERE name = @name", new { name }) ?? throw ResourceKind.PrepTask.NotFound(name);

    public static IReadOnlyList<PrepTaskRecord> GetTasks(StudioSession session, string castingClass) =>
        session.Query<PrepTaskRecord>($"{Columns} WHERE class = @castingClass ORDER BY kind", new { castingClass });

    /// <summary>First due first.</summary>
    public static IReadOnlyList<PrepTaskRecord> ListTasks(StudioSession session, string studio, TaskFilter filter, PageRequest page) =>
        session.Query<PrepTaskRecord>(
            $"""
            {Columns}
             WHERE class IN (SELECT name FROM classes WHERE studio = @studio) AND (due_ms, name) > (@number, @text)
               AND (@Site = '' OR site = @Site) AND (@Class = '' OR class = @Class)
               AND due_ms < @DueBeforeMs
               AND (@IncludeDone = 1 OR done_ms IS NULL AND class IN (SELECT name FROM classes WHERE state IN (1, 2)))
             ORDER BY due_ms, name LIMIT @limit
            """,
            new
            {
                studio, number = page.AfterNumber, text = page.AfterText, filter.Site, filter.Class, filter.DueBeforeMs,
                filter.IncludeDone, limit = page.Limit,
            });

    /// <summary>Open tasks past their time, of every site, while their pour is not over; first due first. Kind 1 of a session is the pour, state 3 cancelled.</summary>
    public static IReadOnlyList<OverdueTask> Overdue(StudioSession session, long nowMs) => session.Query<OverdueTask>(
        """
        SELECT sites.studio, tasks.site, sites.time_zone, sites.display_name AS site_display_name, tasks.kind, tasks.due_ms,
               classes.display_name AS class_display_name
          FROM tasks JOIN classes ON classes.name = tasks.class JOIN sites ON sites.name = tasks.site
         WHERE tasks.done_ms IS NULL AND tasks.due_ms <= @nowMs
           AND EXISTS (SELECT 1 FROM sessions WHERE sessions.class = tasks.class AND kind = 1 AND state <> 3 AND end_ms > @nowMs)
         ORDER BY tasks.due_ms, tasks.name
        """, new { nowMs });

    public static void Save(StudioTransaction tx, IEnumerable<PrepTaskRecord> tasks) => tx.Execute(
        """
        INSERT INTO tasks (name, class, site, kind, due_ms, done_ms, done_by)
        VALUES (@Name, @Class, @Site, @Kind, @DueMs, @DoneMs, @DoneBy)
        ON CONFLICT (name) DO UPDATE
           SET site = excluded.site, due_ms = excluded.due_ms, done_ms = excluded.done_ms, done_by = excluded.done_by
        """, tasks);

    /// <summary>What is open is not needed any more; what was done was done.</summary>
    public static void DropOpen(StudioTransaction tx, string castingClass) =>
        tx.Execute("DELETE FROM tasks WHERE class = @castingClass AND done_ms IS NULL", new { castingClass });
}
