namespace Pourwright.Studio.Paper.Labels;

/// <summary>What stands on a label.</summary>
/// <param name="Code">What people say and type; set as large as it fits.</param>
/// <param name="Address">What a phone or a scanner reads out of the QR code.</param>
public sealed record Label(string Kind, string Code, string Address, IReadOnlyList<string> Lines);
