using Google.Protobuf.WellKnownTypes;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Season;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Session.Types.Kind;
using LocalDays = Pourwright.Studio.Classes.Days;

namespace Pourwright.Studio.Plans;

/// <summary>Why a class has no place beside a plan, and what would give it one.</summary>
internal static class ExplainClass
{
    /// <summary>An answer; the class is of the season, or its days lie outside of it. Up to a second of one core: not for the writer's thread.</summary>
    /// <exception cref="Refusal">CLASS_PLACED.</exception>
    public static ClassExplanation Decide(PlannedSeason season, ClassPlan plan, string castingClass, string planName)
    {
        var index = season.ClassIndex(castingClass);
        if (plan.Placed.Any(p => p.Class == index))
            throw Refusal.Precondition(
                Reasons.ClassPlaced, $"{castingClass} has its place in {planName}. Get the plan.", ("casting_class", castingClass), ("plan", planName));
        if (index < 0) return new() { CastingClass = castingClass, Text = OutsideText(season, castingClass) };
        var warming = new SeasonWarming(season);
        var explanation = new ClassExplainer(season.Case, plan, warming: warming).Explain(index);
        return new()
        {
            CastingClass = castingClass,
            Text = new ExplanationWords(season.Case).Of(explanation)[0],
            Conflicts = { explanation.Conflicts is [var smallest, ..] ? smallest.Rules.Select(ExplanationWords.Of) : [] },
            Ways = { explanation.Proposals.Select(proposal => Way(season, plan, proposal, warming)) },
        };
    }

    /// <summary>One sentence.</summary>
    public static string Reason(Explanation explanation) => explanation.Conflicts is [var smallest, ..]
        ? $"No day suits {string.Join(", ", smallest.Rules.Select(ExplanationWords.Of))}{(explanation.EvenAlone ? ", even if nothing else were planned" : "")}."
        : explanation.Fits is not null ? "It would have a place still; plan again." : "The season has no days for it.";

    private static string OutsideText(PlannedSeason season, string castingClass) =>
        season.Facts.Classes.FirstOrDefault(row => row.Name == castingClass) is { } row && SeasonOf.LeftOut(season.Facts, row) is { } reason
            ? reason
            : $"{ResourceNames.IdOf(castingClass)} is given up or over: it is not planned.";

    private static ClassExplanation.Types.Way Way(PlannedSeason season, ClassPlan plan, Proposal proposal, IWarming warming)
    {
        var (words, changed) = (new ExplanationWords(season.Case), ChangedSeason.Of(season.Case, plan, proposal, warming).Season);
        return new()
        {
            Changes = { proposal.Changes.Select(words.Of) },
            Placed = Placed(season, changed, proposal.Placement),
        };
    }

    private static PlannedClass Placed(PlannedSeason season, SeasonCase changed, Placement p)
    {
        var request = changed.Classes[p.Class];
        var hours = season.GapHours(p);
        Duration Span(double h) => Duration.FromTimeSpan(TimeSpan.FromHours(Math.Round(h, 2)));
        return new()
        {
            CastingClass = season.Classes[p.Class].Name,
            Site = season.Facts.Sites[p.Site].Name,
            Sessions = { Session(season, p, Kind.Pour, p.Pour), Session(season, p, Kind.Machine, p.Machine), p.Finish is { } finish ? [Session(season, p, Kind.Finish, finish)] : Array.Empty<PlannedSession>() },
            ReadyChanceRatio = changed.Cure.ChanceAllReady(request.Offering, p.Site, p.Pour.Slot, request.Pieces, hours),
            GapDuration = Span(hours),
            LeastGapDuration = Span(changed.Cure.LeastHours(request.Offering, p.Site, p.Pour.Slot, request.Pieces) ?? hours),
            StudentCount = request.Students,
        };
    }

    // A guest who is still to be found has no name.
    private static PlannedSession Session(PlannedSeason season, Placement p, Kind kind, Attendance at) => new()
    {
        Kind = kind,
        Date = LocalDays.ToProto(season.Date(at.Day)),
        StartTimeOfDay = WholeMinutes.ToTimeOfDay(season.Days[p.Site].StartMinute(at.Slot)),
        StartTime = Instants.ToTimestamp(season.StartMs(p.Site, at)),
        Instructor = at.Instructor < season.Facts.Instructors.Count ? season.Facts.Instructors[at.Instructor].Name : "",
    };
}
