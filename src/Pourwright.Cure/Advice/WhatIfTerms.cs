using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Advice;

/// <summary>A piece, and the work that waits for it.</summary>
/// <param name="Piece">As it was poured, in the room as it is expected.</param>
/// <param name="SessionAtHours">When people come to work on it, in h from the first pour.</param>
/// <param name="Gate">What they want to do with it.</param>
public sealed record Question(PieceCase Piece, double SessionAtHours, LadderGate Gate);

/// <summary>What one might change.</summary>
public abstract record Change;

/// <summary>Hold the room at a temperature.</summary>
/// <remarks>It gets there within an hour and goes back to its own course within another (our choice).</remarks>
/// <param name="Celsius">In °C.</param>
/// <param name="FromHours">From when, in h from the first pour; 0 or less = from the pour on.</param>
/// <param name="UntilHours">Until when; infinite = for good.</param>
public sealed record HoldRoom(double Celsius, double FromHours, double UntilHours = double.PositiveInfinity) : Change;

/// <summary>Move the session; a day is 24 elapsed hours.</summary>
public sealed record MoveSession(double Days) : Change;

/// <summary>Pour the same depth in equal layers, each in the window of the one below.</summary>
public sealed record SplitPour(int Layers) : Change;

/// <summary>Pour another resin.</summary>
public sealed record OtherResin(ResinCureModel Resin) : Change;

/// <summary>What the engine expects of the session.</summary>
/// <param name="SessionAtHours">In h from the first pour.</param>
/// <param name="Rung">The gate that the session needs.</param>
/// <param name="ShareReady">Share of the draws that have reached it by then, without unit.</param>
/// <param name="Peak">Hottest point.</param>
public sealed record Outlook(double SessionAtHours, Rung Rung, double ShareReady, PeakForecast Peak)
{
    /// <summary>The safe time is not after the session. A touch test still decides.</summary>
    public bool IsSafe => Rung.Times.SafeHours <= SessionAtHours;
}

/// <summary>Why a change is not advised.</summary>
public enum Objection
{
    /// <summary>It raises the peak or ψ over the limit: warmth before the peak feeds it.</summary>
    TooHot,

    /// <summary>A layer never becomes fit for the next one.</summary>
    NoWindow,

    /// <summary>No temperature up to the warmest allowed makes the session safe.</summary>
    NotByThen,
}

/// <summary>Before and after of a change, in numbers that a sentence can be built from.</summary>
/// <param name="Change">What was asked; null when nothing needs to change.</param>
/// <param name="Before">As things stand.</param>
/// <param name="After">With the change; as things stand where it cannot be carried out.</param>
public abstract record Answer(Change? Change, Outlook Before, Outlook After);

/// <summary>It can be done; whether it helps enough, <see cref="Outlook.IsSafe"/> says.</summary>
public sealed record Possible(Change? Change, Outlook Before, Outlook After) : Answer(Change, Before, After);

/// <summary>It is not advised.</summary>
/// <param name="Change">What was asked.</param>
/// <param name="Before">As things stand.</param>
/// <param name="After">What it would do.</param>
/// <param name="Objection">The reason.</param>
/// <param name="WaitUntilHours">
/// The way out of warming too early: the peak of 95 % of the draws is past, in h from the first pour; else null.
/// </param>
public sealed record Refused(Change? Change, Outlook Before, Outlook After, Objection Objection, double? WaitUntilHours)
    : Answer(Change, Before, After);
