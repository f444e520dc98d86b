using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Plans;

/// <summary>SQL of plans. States: 1 draft, 2 proposed, 3 published, 4 superseded.</summary>
public static class PlanStore
{
    private const string Columns =
        """
        SELECT name, studio, state, first_date, day_count, student_count, student_bound_count, class_count, moved_count,
               cancelled_count, create_ms, publish_ms, publisher, reason, base_plan, event, cautions, text
          FROM plans
        """;

    private const string Published = "/plans/published";

    /// <summary>A plan with its classes; a name that ends in `published` is that of the one that is.</summary>
    /// <exception cref="Refusals.Refusal">PLAN_NOT_FOUND.</exception>
    public static PlanRecord GetPlan(StudioSession session, string name) =>
        (name.EndsWith(Published, StringComparison.Ordinal) ? FindPublished(session, name[..^Published.Length]) : FindPlan(session, name))
        ?? throw ResourceKind.Plan.NotFound(name);

    /// <summary>The plan that holds; null where none does.</summary>
    public static PlanRecord? FindPublished(StudioSession session, string studio) =>
        session.Find<PlanRecord>($"{Columns} WHERE studio = @studio AND state = 3", new { studio }) is { } plan ? WithClasses(session, plan) : null;

    private static PlanRecord? FindPlan(StudioSession session, string name) =>
        session.Find<PlanRecord>($"{Columns} WHERE name = @name", new { name }) is { } plan ? WithClasses(session, plan) : null;

    /// <summary>Newest first, without their classes.</summary>
    public static IReadOnlyList<PlanRecord> ListPlans(StudioSession session, string studio, PageRequest page) => session.Query<PlanRecord>(
        $"{Columns} WHERE studio = @studio AND (create_ms, name) < (@number, @text) ORDER BY create_ms DESC, name DESC LIMIT @limit",
        new { studio, number = page.BeforeNumber, text = page.After?.Text ?? "~", limit = page.Limit });

    /// <summary>What happened, of plans that hold or held, by their making: cold spells count until they are over.</summary>
    public static IReadOnlyList<PlanEvent> Events(StudioSession session, string studio) =>
        [.. session.Query<string>("SELECT event FROM plans WHERE studio = @studio AND state IN (3, 4) AND event IS NOT NULL ORDER BY create_ms", new { studio })
            .Select(EventJson.Read)];

    /// <exception cref="Refusals.Refusal">PLAN_EXISTS.</exception>
    public static void Insert(StudioTransaction tx, PlanRecord plan)
    {
        if (FindPlan(tx, plan.Name) is not null) throw ResourceKind.Plan.AlreadyExists(plan.Name);
        tx.Execute(
            """
            INSERT INTO plans (name, studio, state, first_date, day_count, student_count, student_bound_count, class_count, moved_count,
                               cancelled_count, create_ms, publish_ms, publisher, reason, base_plan, event, cautions, text)
            VALUES (@Name, @Studio, @State, @FirstDate, @DayCount, @StudentCount, @StudentBoundCount, @ClassCount, @MovedCount,
                    @CancelledCount, @CreateMs, @PublishMs, @Publisher, @Reason, @BasePlan, @Event, @Cautions, @Text)
            """, plan);
        tx.Execute(
            """
            INSERT INTO placements (plan, class, site, benches, students, ready_chance, gap_ms, least_gap_ms, change, reason)
            VALUES (@Plan, @Class, @Site, @Benches, @Students, @ReadyChance, @GapMs, @LeastGapMs, @Change, @Reason)
            """, plan.Classes.Select(placement => placement with { Plan = plan.Name }));
        tx.Execute(
            """
            INSERT INTO placed_sessions (plan, class, kind, site, start_ms, end_ms, local_date, local_start_minute, instructor)
            VALUES (@Plan, @Class, @Kind, @Site, @StartMs, @EndMs, @LocalDate, @LocalStartMinute, @Instructor)
            """, plan.Classes.SelectMany(placement => placement.Sessions).Select(session => session with { Plan = plan.Name }));
    }

    /// <summary>This one holds from now on, and the one before no more.</summary>
    public static void Publish(StudioTransaction tx, PlanRecord plan, string publisher, string reason)
    {
        tx.Execute("UPDATE plans SET state = 4 WHERE studio = @Studio AND state = 3", plan);
        tx.Execute(
            "UPDATE plans SET state = 3, publish_ms = @nowMs, publisher = @publisher, reason = @reason WHERE name = @Name",
            new { plan.Name, publisher, reason, nowMs = tx.Now.ToUnixMs() });
    }

    private static PlanRecord WithClasses(StudioSession session, PlanRecord plan)
    {
        var sessions = session.Query<PlacedSessionRecord>(
            """
            SELECT plan, class, kind, site, start_ms, end_ms, local_date, local_start_minute, instructor
              FROM placed_sessions WHERE plan = @Name ORDER BY class, kind
            """, plan).ToLookup(row => row.Class);
        var classes = session.Query<PlacementRecord>(
            """
            SELECT plan, class, site, benches, students, ready_chance, gap_ms, least_gap_ms, change, reason
              FROM placements WHERE plan = @Name ORDER BY class
            """, plan).Select(row => row with { Sessions = [.. sessions[row.Class]] });
        return plan with
        {
            Classes = [.. classes.OrderBy(row => row.Site is null).ThenBy(row => row.Sessions is [var pour, ..] ? pour.StartMs : 0)],
        };
    }
}
