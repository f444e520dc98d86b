using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>Who may correct a record: an instructor at any time, everybody else only what was recorded a moment ago, and only to say that it never was.</summary>
public static class TakingBack
{
    /// <summary>What a tablet offers for a minute must arrive on a slow network as well: our choice.</summary>
    public static readonly TimeSpan Within = TimeSpan.FromMinutes(2);

    /// <param name="caller">Who corrects.</param>
    /// <param name="call">The call, as the refusal names it.</param>
    /// <param name="kind">What is said of the record.</param>
    /// <param name="recordMs">When the record reached the node.</param>
    /// <param name="nowMs">Now.</param>
    /// <exception cref="Refusal">NOT_ALLOWED.</exception>
    public static void Decide(Caller caller, string call, Correction.Types.Kind kind, long recordMs, long nowMs)
    {
        if (caller.Role.IsAtLeast(Role.Instructor)) return;
        if (kind == Correction.Types.Kind.DidNotOccur && nowMs - recordMs <= (long)Within.TotalMilliseconds) return;
        throw Admission.NotAllowed(
            caller, call, "instructor", $"Others may only say that something did not occur, within {Within.TotalMinutes:0} minutes of its being recorded. Ask somebody whose key has that role or a higher one.");
    }
}
