using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>Says how far two sites lie apart.</summary>
public static class SetTravel
{
    /// <summary>Checks the shape of a request.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void Check(SetTravelTimeRequest request) => new FieldChecks()
        .Name("parent", request.Parent, ResourceKind.Studio)
        .Name("site_a", request.SiteA, ResourceKind.Site, request.Parent)
        .Name("site_b", request.SiteB, ResourceKind.Site, request.Parent)
        .Require(request.SiteA != request.SiteB, "site_b", "must be another site than site_a: from a site to itself there is no way.", request.SiteB)
        .Minutes("duration", request.Duration, 0, 24 * 60)
        .ThrowIfAny();

    /// <summary>The way between the two: the same row whichever is named first; null minutes take it back.</summary>
    public static TravelRecord Decide(SetTravelTimeRequest request)
    {
        var inOrder = string.CompareOrdinal(request.SiteA, request.SiteB) < 0;
        return new()
        {
            SiteA = inOrder ? request.SiteA : request.SiteB,
            SiteB = inOrder ? request.SiteB : request.SiteA,
            Minutes = WholeMinutes.Of(request.Duration),
        };
    }
}
