namespace Pourwright.Evidence.Epcis;

/// <summary>What an event can speak of, and so which address it gets.</summary>
public enum ThingKind { Lot, Fill, Mix, Piece, Blank, Mould, Logger, Place, Party, Document, Act }

/// <summary>Something with a name of the studio's own.</summary>
/// <param name="Id">The last part of its resource name, or any text: it is percent-encoded where a URI needs it.</param>
public sealed record Thing(ThingKind Kind, string Id)
{
    /// <summary>GTIN of the supplier's label, 14 digits, and its lot in <see cref="SupplierLot"/>: then a lot goes by these.</summary>
    public string? Gtin { get; init; }

    public string? SupplierLot { get; init; }

    /// <summary>Its resource name, such as <c>studios/elm/pieces/river-7</c>: then its address is the one on its label.</summary>
    public string? Resource { get; init; }

    /// <summary>Named by class and mass; the others one by one.</summary>
    public bool IsMaterial => Kind is ThingKind.Lot or ThingKind.Fill or ThingKind.Mix;
}

/// <summary>So much of a material, in whole milligrams.</summary>
public sealed record Amount(Thing Of, long MassMg);

/// <summary>The studio's own web address, under which its things have theirs.</summary>
/// <remarks>
/// EPCIS asks for a URI and gets an https one. No GS1 key is made up: a Digital Link stands only where a supplier's label carries a
/// GTIN, and then under GS1's own resolver, so that nobody needs to know how long the company's prefix is.
/// </remarks>
public sealed record TraceDomain
{
    private const string GtinResolver = "https://id.gs1.org/01/";

    /// <exception cref="ArgumentException">Not an https address without path, query and fragment.</exception>
    public TraceDomain(Uri origin)
    {
        if (!origin.IsAbsoluteUri || origin.Scheme != Uri.UriSchemeHttps || origin.PathAndQuery != "/" || origin.Fragment.Length > 0)
            throw new ArgumentException($"{origin} cannot hold the studio's names: give an https address alone, such as https://trace.example.org.", nameof(origin));
        Origin = origin.GetLeftPart(UriPartial.Authority);
    }

    /// <summary>Without the slash at its end.</summary>
    public string Origin { get; }

    /// <summary>Namespace of fields of the studio's own, written with the prefix <c>pw</c>.</summary>
    public string Namespace => $"{Origin}/ns/";

    public string UriOf(Thing thing) => thing switch
    {
        { Kind: ThingKind.Lot, Gtin: { } gtin, SupplierLot: { } lot } => $"{GtinResolver}{gtin}/10/{Uri.EscapeDataString(lot)}",
        { Resource: { } name } => $"{Origin}/v1/{name}",
        { Kind: ThingKind.Act } when Guid.TryParse(thing.Id, out var id) => $"urn:uuid:{id}",
        _ => $"{Origin}/{Path(thing.Kind)}{Uri.EscapeDataString(thing.Id)}",
    };

    private static string Path(ThingKind kind) => kind switch
    {
        ThingKind.Lot => "class/lot/",
        ThingKind.Fill => "class/lot/FILL.",
        ThingKind.Mix => "class/lot/MIX.",
        ThingKind.Piece => "obj/piece.",
        ThingKind.Blank => "obj/blank.",
        ThingKind.Mould => "obj/mould.",
        ThingKind.Logger => "obj/logger.",
        ThingKind.Place => "loc/",
        ThingKind.Party => "party/",
        ThingKind.Document => "bt/",
        _ => "act/",
    };
}
