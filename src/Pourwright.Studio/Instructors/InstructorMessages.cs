namespace Pourwright.Studio.Instructors;

/// <summary>An instructor has another address, or none: what has not reached them follows.</summary>
public sealed record InstructorAddressChanged(string Instructor);
