namespace Pourwright.Studio.Classes;

/// <summary>Dates of a class are set, moved or given up: whoever comes is told, once.</summary>
/// <param name="CastingClass">Name.</param>
/// <param name="Reason">Why, for people; may be empty where the dates are the first ones.</param>
/// <param name="Changes">As they were decided: a later change has a message of its own.</param>
/// <param name="IsGivenUp">The class is not held at all.</param>
public sealed record SessionsChanged(string CastingClass, string Reason, IReadOnlyList<SessionChange> Changes, bool IsGivenUp);
