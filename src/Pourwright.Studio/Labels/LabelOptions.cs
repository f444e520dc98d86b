namespace Pourwright.Studio.Labels;

/// <summary>Settings of the section <c>Labels</c>.</summary>
public sealed record LabelOptions
{
    /// <summary>
    /// The studio's own https address, such as <c>https://studio.example.org</c>, under which the QR code leads to the thing.
    /// Without one the code holds the thing's name alone: labels outlive addresses, so set it before the first is printed.
    /// </summary>
    public Uri? Address { get; init; }
}
