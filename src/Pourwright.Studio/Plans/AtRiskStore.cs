using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Plans;

/// <summary>SQL of classes at risk. State 2 of a class is confirmed; 2 and 3 of a piece are curing and demolded.</summary>
internal static class AtRiskStore
{
    /// <summary>Studios in which a machine day lies between two instants, Unix ms. Kind 2 of a session is that, state 3 is cancelled.</summary>
    public static IReadOnlyList<string> StudiosWithMachineDays(StudioSession session, long fromMs, long toMs) => session.Query<string>(
        """
        SELECT DISTINCT c.studio FROM classes c JOIN sessions s ON s.class = c.name
         WHERE c.state = 2 AND s.kind = 2 AND s.state <> 3 AND s.start_ms > @fromMs AND s.start_ms <= @toMs
         ORDER BY c.studio
        """, new { fromMs, toMs });

    /// <summary>The pieces of a class with their newest forecasts; those without one are left out.</summary>
    public static IReadOnlyList<PieceGate> Gates(StudioSession session, string castingClass) => session.Query<PieceGate>(
        """
        SELECT p.name AS piece, p.label, f.pour_ms, f.handle_likely_ms AS likely_ms, f.handle_safe_ms AS safe_ms
          FROM pieces p
          JOIN forecasts f ON f.piece = p.name AND f.revision = (SELECT max(revision) FROM forecasts WHERE piece = p.name)
         WHERE p.casting_class = @castingClass AND p.state IN (2, 3)
         ORDER BY p.label
        """, new { castingClass });
}
