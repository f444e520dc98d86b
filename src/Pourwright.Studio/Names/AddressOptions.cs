namespace Pourwright.Studio.Names;

/// <summary>Settings of the section <c>Labels</c>: what things are called outside.</summary>
public sealed record AddressOptions
{
    /// <summary>
    /// The studio's own https address, such as <c>https://studio.example.org</c>: a QR code leads below it, and exports name things
    /// by it. Without one a code holds the thing's name alone and nothing is exported: labels outlive addresses, so set it before
    /// the first is printed.
    /// </summary>
    public Uri? Address { get; init; }

    /// <summary>Where a thing is told of, the same on its label and in every export; its name where the studio has no address.</summary>
    public string Of(string name) => Address is { } address ? new Uri(address, $"/v1/{name}").AbsoluteUri : name;
}
