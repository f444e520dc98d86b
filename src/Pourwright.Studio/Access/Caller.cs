using Microsoft.AspNetCore.Http;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>Who calls: what their key allows, and where.</summary>
/// <param name="Key">Name of the key: what the record of who did what says. No secret.</param>
/// <param name="DisplayName">Who has it.</param>
/// <param name="Role">What it allows.</param>
/// <param name="Studio">The studio it is good for; every studio of the node where empty.</param>
/// <param name="Sites">The sites it is good for; all of the studio where empty.</param>
public sealed record Caller(string Key, string DisplayName, Role Role, string Studio, IReadOnlyList<string> Sites)
{
    public bool IsOfEveryStudio => Studio.Length == 0;

    public bool IsOfSomeSites => Sites.Count > 0;

    /// <summary>Who makes this request; null where no key came with it, or none that is good.</summary>
    public static Caller? Of(HttpContext context) => HeldKey.Of(context)?.Caller;

    /// <summary>Whether a thing of these sites, of which there may be none, is theirs to see.</summary>
    public bool Sees(IReadOnlyList<string> sites) => !IsOfSomeSites || sites.Count == 0 || sites.Any(Sites.Contains);
}
