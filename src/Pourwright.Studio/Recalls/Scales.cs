using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>A row of `scales`, in mg.</summary>
public sealed record ScaleRecord(string Site, string Scale, long ResolutionMg, long PotResidueMg)
{
    public Scale ToProto() => new() { Label = Scale, ResolutionMassMg = ResolutionMg, PotResidueMassMg = PotResidueMg };
}

/// <summary>How finely each scale weighs; one that is not named weighs as its site says, else to the gram.</summary>
public sealed class ScaleBook(IEnumerable<ScaleRecord> scales)
{
    /// <summary>Step of a bench scale, in mg. Common practice, no source; a studio states its own.</summary>
    public const long ResolutionMgDefault = 1_000;

    private readonly Dictionary<(string Site, string Scale), ScaleRecord> _scales = scales.ToDictionary(scale => (scale.Site, scale.Scale));

    /// <param name="scale">As the mix spells it; empty for what was weighed on no named one.</param>
    public ScaleRecord Of(string site, string scale) =>
        _scales.GetValueOrDefault((site, scale)) ?? _scales.GetValueOrDefault((site, "")) ?? new(site, scale, ResolutionMgDefault, 0);
}

/// <summary>States how finely a scale weighs.</summary>
public static class SetScale
{
    private const long KilogramMg = 1_000_000;

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static ScaleRecord Decide(SetScaleRequest request)
    {
        var scale = request.Scale ?? new();
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Site)
            .Text("scale.label", scale.Label, 80, 0)
            .Mass("scale.resolution_mass_mg", scale.ResolutionMassMg, 1, KilogramMg)
            .Mass("scale.pot_residue_mass_mg", scale.PotResidueMassMg, 0, KilogramMg)
            .ThrowIfAny();
        return new(request.Parent, scale.Label, scale.ResolutionMassMg, scale.PotResidueMassMg);
    }
}
