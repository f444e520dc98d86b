namespace Pourwright.Studio.Access;

/// <summary>Tokens of an issuer of the house (OpenID Connect) that are taken beside keys; section `Access:Tokens`. Off until an issuer and its audience are named.</summary>
public sealed record TokenOptions
{
    /// <summary>The issuer, as its tokens name it: an https address below which its metadata lies, or loopback. With <see cref="KeyFile"/> any text that its tokens carry.</summary>
    public string Authority { get; init; } = "";

    /// <summary>The name of this node for the issuer: a token for anybody else is refused.</summary>
    public string Audience { get; init; } = "";

    /// <summary>A file with the issuer's public keys (JWKS, RFC 7517) for a node that cannot ask it; read at the start. Empty: they are asked of the authority and again when they change.</summary>
    public string KeyFile { get; init; } = "";

    /// <summary>What tokens say of themselves in their header. RFC 9068 (2.1) names `at+jwt`; an issuer that writes `JWT` also into sign-in tokens is told apart by the audience alone.</summary>
    public IReadOnlyList<string> Types { get; init; } = ["at+jwt"];

    /// <summary>From issue to expiry, at most: nobody revokes a token, so that a person who left keeps it for so long. Common practice, no source.</summary>
    public TimeSpan LifetimeMax { get; init; } = TimeSpan.FromHours(1);

    /// <summary>How far the clocks of issuer and node may be apart.</summary>
    public TimeSpan ClockSkew { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>The claim that names a role: `device`, `assistant`, `instructor`, `lead` or `owner`.</summary>
    public string RoleClaim { get; init; } = "pourwright_role";

    /// <summary>The claim that names the studio, `studios/alder`.</summary>
    public string StudioClaim { get; init; } = "pourwright_studio";

    /// <summary>The claim that lists sites, `studios/alder/sites/north`, or says `*` for all of the studio.</summary>
    public string SitesClaim { get; init; } = "pourwright_sites";

    public bool IsOn => Authority.Length > 0;
}
