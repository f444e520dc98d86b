using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Classes.Moulds;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes;

/// <summary>A class as it stands: its sessions, its seats, and what to know of it.</summary>
internal static class ClassViews
{
    public static CastingClass Load(StudioSession session, string name) => Load(session, ClassStore.GetClass(session, name));

    public static CastingClass Load(StudioSession session, ClassRecord castingClass)
    {
        var sessions = ClassStore.GetSessions(session, castingClass.Name);
        var seats = SeatCounts.Of(StudentStore.GetEnrolments(session, castingClass.Name));
        return castingClass.ToProto(sessions, seats, castingClass.IsOpen ? Cautions(session, castingClass, sessions) : []);
    }

    private static IEnumerable<Caution> Cautions(StudioSession session, ClassRecord castingClass, IReadOnlyList<SessionRecord> sessions)
    {
        var live = sessions.Where(one => one.IsLive).ToList();
        if (live.Count == 0) return [];
        var others = ClassStore.GetLiveSessions(session, castingClass.Studio, live.Min(one => one.StartMs), live.Max(one => one.EndMs));
        return [.. BusyInstructors.Cautions(live, others), .. MouldCautions(session, castingClass, live[0].Site)];
    }

    private static IReadOnlyList<Caution> MouldCautions(StudioSession session, ClassRecord castingClass, string site)
    {
        var own = MouldStore.GetHolds(session, castingClass.Name);
        var moulds = own.Select(hold => MouldStore.GetMould(session, hold.Mould)).ToList();
        var others = MouldStore.GetHoldsOfOthers(session, [.. moulds.Select(mould => mould.Name)], castingClass.Name);
        return MouldUse.Cautions(castingClass, own, moulds, others, MouldStore.AreMouldsKept(session, site));
    }
}
