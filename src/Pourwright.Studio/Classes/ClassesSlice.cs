using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Classes.Prep;
using Pourwright.Studio.Messaging;

namespace Pourwright.Studio.Classes;

/// <summary>The sweeps of classes.</summary>
public static class ClassesSlice
{
    /// <summary>How often each looks: where nothing is due a look costs microseconds. Common practice, no source.</summary>
    public static SweepPlan AddClassSweeps(this SweepPlan plan) => plan
        .Every<ExpireOffers>(TimeSpan.FromMinutes(1))
        .Every<OverduePrep>(TimeSpan.FromMinutes(1))
        .Every<CloseClasses>(TimeSpan.FromMinutes(5));
}
