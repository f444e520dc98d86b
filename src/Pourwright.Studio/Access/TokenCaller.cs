using Pourwright.Studio.Names;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>Who calls with a token, from the claims of one that is genuine.</summary>
internal static class TokenCaller
{
    private const string AllSites = "*";

    private const int SubjectLengthMax = 200;

    /// <summary>Null where a claim is missing or means nothing here.</summary>
    /// <param name="subject">Who, as the issuer names them.</param>
    /// <param name="shownName">Who, as people do; the subject where empty.</param>
    /// <param name="role">`device` to `owner`.</param>
    /// <param name="studio">`studios/alder`; nobody is given every studio by a token.</param>
    /// <param name="sites">Names, or `*` alone.</param>
    public static Caller? Of(string? subject, string? shownName, string? role, string? studio, IReadOnlyList<string> sites)
    {
        if (subject is not { Length: > 0 and <= SubjectLengthMax } || subject.Any(char.IsControl)) return null;
        if (RoleOf(role) is not { } given || studio is null || !ResourceKind.Studio.Matches(studio)) return null;
        var isAll = sites is [AllSites];
        if (!isAll && (sites.Count == 0 || !sites.All(site => ResourceKind.Site.Matches(site) && ResourceNames.IsUnder(site, studio)))) return null;
        return new($"{studio}/tokens/{Uri.EscapeDataString(subject)}", shownName is { Length: > 0 and <= SubjectLengthMax } ? shownName : subject, given, studio, isAll ? [] : sites);
    }

    private static Role? RoleOf(string? word) => word switch
    {
        "device" => Role.Device,
        "assistant" => Role.Assistant,
        "instructor" => Role.Instructor,
        "lead" => Role.Lead,
        "owner" => Role.Owner,
        _ => null,
    };
}
