using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.WorkPlan;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Advising;

/// <summary>A studio's habits of the second day over the usual ones.</summary>
internal static class WorkHabits
{
    private const double HourMost = 1, ShiftMost = 8, WaitMost = 60 * 24;

    /// <summary>Checks every setting that is given.</summary>
    public static void CheckShape(FieldChecks checks, V1.WorkSettings s)
    {
        Within(checks, "high_spots_mm", s.HasHighSpotsMm, s.HighSpotsMm, 0, 5, "mm");
        Within(checks, "pass_mm", s.HasPassMm, s.PassMm, 0.1, 5, "mm");
        Within(checks, "second_face_mm", s.HasSecondFaceMm, s.SecondFaceMm, 0, 5, "mm");
        Within(checks, "shortest_planed_mm", s.HasShortestPlanedMm, s.ShortestPlanedMm, 1, 5000, "mm");
        Within(checks, "disc_mm", s.HasDiscMm, s.DiscMm, 50, 300, "mm");
        Within(checks, "disc_mm_per_s", s.HasDiscMmPerS, s.DiscMmPerS, 1, 500, "mm/s");
        Within(checks, "end_grain_ratio", s.HasEndGrainRatio, s.EndGrainRatio, 1, 10, "times");
        Within(checks, "coat_count", s.HasCoatCount, s.CoatCount, 0, 10, "coats");
        CheckGrits(checks, s);
        (string Field, Duration? Span, double MostHours)[] spans =
        [
            ("pass_duration", s.PassDuration, HourMost), ("turn_duration", s.TurnDuration, HourMost),
            ("grit_change_duration", s.GritChangeDuration, HourMost), ("coat_duration", s.CoatDuration, ShiftMost),
            ("soak_duration", s.SoakDuration, ShiftMost), ("wipe_duration", s.WipeDuration, ShiftMost),
            ("recoat_duration", s.RecoatDuration, WaitMost), ("hand_over_duration", s.HandOverDuration, WaitMost),
        ];
        foreach (var (field, span, most) in spans)
            Within(checks, field, span is not null, span.Hours(), 0, most, "h");
    }

    /// <summary>The usual settings with those that are given.</summary>
    public static WorkSettings Of(V1.WorkSettings s)
    {
        var usual = new WorkSettings();
        return new()
        {
            HighSpotsMm = s.HasHighSpotsMm ? s.HighSpotsMm : usual.HighSpotsMm,
            PassMm = s.HasPassMm ? s.PassMm : usual.PassMm,
            SecondFaceMm = s.HasSecondFaceMm ? s.SecondFaceMm : usual.SecondFaceMm,
            ShortestPlanedMm = s.HasShortestPlanedMm ? s.ShortestPlanedMm : usual.ShortestPlanedMm,
            PassMinutes = Minutes(s.PassDuration) ?? usual.PassMinutes,
            TurnMinutes = Minutes(s.TurnDuration) ?? usual.TurnMinutes,
            Grits = s.Grit.Count > 0 ? [.. s.Grit] : usual.Grits,
            FirstGritAfterHelicalHead = s.HasHelicalHeadFirstGrit ? s.HelicalHeadFirstGrit : usual.FirstGritAfterHelicalHead,
            FirstGritAfterStraightKnives = s.HasStraightKnivesFirstGrit ? s.StraightKnivesFirstGrit : usual.FirstGritAfterStraightKnives,
            FirstGritAfterRouterSled = s.HasRouterSledFirstGrit ? s.RouterSledFirstGrit : usual.FirstGritAfterRouterSled,
            DiscMm = s.HasDiscMm ? s.DiscMm : usual.DiscMm,
            DiscMmPerSecond = s.HasDiscMmPerS ? s.DiscMmPerS : usual.DiscMmPerSecond,
            EndGrainFactor = s.HasEndGrainRatio ? s.EndGrainRatio : usual.EndGrainFactor,
            GritChangeMinutes = Minutes(s.GritChangeDuration) ?? usual.GritChangeMinutes,
            CoatMinutes = Minutes(s.CoatDuration) ?? usual.CoatMinutes,
            SoakMinutes = Minutes(s.SoakDuration) ?? usual.SoakMinutes,
            WipeMinutes = Minutes(s.WipeDuration) ?? usual.WipeMinutes,
            Finish = Waits(s, usual.Finish),
        };
    }

    private static FinishWaits Waits(V1.WorkSettings s, FinishWaits usual) => new(
        s.HasCoatCount ? s.CoatCount : usual.Coats,
        s.RecoatDuration is null ? usual.RecoatHours : s.RecoatDuration.Hours(),
        s.HandOverDuration is null ? usual.HandOverHours : s.HandOverDuration.Hours());

    private static double? Minutes(Duration? span) => span is null ? null : 60 * span.Hours();

    private static void CheckGrits(FieldChecks checks, V1.WorkSettings s)
    {
        checks.Require(s.Grit.Count <= 20 && s.Grit.All(IsGrit), "settings.grit", "must be at most 20 numbers from 16 to 5000.");
        checks.Require(!s.HasHelicalHeadFirstGrit || IsGrit(s.HelicalHeadFirstGrit), "settings.helical_head_first_grit", "must be 16 to 5000.");
        checks.Require(!s.HasStraightKnivesFirstGrit || IsGrit(s.StraightKnivesFirstGrit), "settings.straight_knives_first_grit", "must be 16 to 5000.");
        checks.Require(!s.HasRouterSledFirstGrit || IsGrit(s.RouterSledFirstGrit), "settings.router_sled_first_grit", "must be 16 to 5000.");
    }

    private static bool IsGrit(int grit) => grit is >= 16 and <= 5000;

    private static void Within(FieldChecks checks, string field, bool isGiven, double value, double least, double most, string unit)
    {
        if (isGiven) checks.Within($"settings.{field}", value, least, most, unit);
    }
}
