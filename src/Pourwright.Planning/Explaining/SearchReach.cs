namespace Pourwright.Planning.Explaining;

/// <summary>How far beyond what a class asked for placements are looked at; common practice, no source.</summary>
/// <param name="Days">Before and after the pour window, and after the longest gap and the latest finish.</param>
/// <param name="SiteMinutes">From a site that was asked for to one that was not.</param>
/// <param name="Proposals">How many are tried and shown at most.</param>
/// <param name="Neighbours">How many classes that are in the way may be moved for it; 0 = none.</param>
public sealed record SearchReach(int Days = 7, int SiteMinutes = 120, int Proposals = 8, int Neighbours = 7);
