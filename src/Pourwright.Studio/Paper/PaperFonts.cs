using PdfSharp.Fonts;
using SkiaSharp;

namespace Pourwright.Studio.Paper;

/// <summary>The one font family of what is printed and drawn, carried in this assembly: a plain server has none.</summary>
/// <remarks>It knows Latin, Greek and Cyrillic letters; a name in another script prints as boxes.</remarks>
public sealed class PaperFonts : IFontResolver, ScottPlot.IFontResolver
{
    /// <summary>The family.</summary>
    public const string Family = "DejaVu Sans";

    private const string Regular = "DejaVuSans.ttf";
    private const string Bold = "DejaVuSans-Bold.ttf";

    private static readonly Lazy<SKTypeface> RegularTypeface = new(() => Typeface(Regular));
    private static readonly Lazy<SKTypeface> BoldTypeface = new(() => Typeface(Bold));
    private static readonly Lazy<PaperFonts> Registered = new(Register);

    private PaperFonts() { }

    /// <summary>Makes the family known to page and chart. Once in a process is enough; more often is harmless.</summary>
    public static void Use() => _ = Registered.Value;

    /// <summary>The family at a size, for a canvas.</summary>
    public static SKFont Font(float sizePt, bool bold = false) =>
        new((bold ? BoldTypeface : RegularTypeface).Value, sizePt) { Subpixel = true, Hinting = SKFontHinting.None };

    /// <inheritdoc/>
    public FontResolverInfo ResolveTypeface(string familyName, bool bold, bool italic) => new(bold ? Bold : Regular);

    /// <inheritdoc/>
    public byte[] GetFont(string faceName)
    {
        using var bytes = new MemoryStream();
        Open(faceName).CopyTo(bytes);
        return bytes.ToArray();
    }

    /// <inheritdoc/>
    public SKTypeface? CreateTypeface(string fontName, bool bold, bool italic) =>
        fontName == Family ? (bold ? BoldTypeface : RegularTypeface).Value : null;

    /// <inheritdoc/>
    public SKTypeface? CreateTypeface(string fontName, ScottPlot.FontWeight weight, ScottPlot.FontSlant slant, ScottPlot.FontSpacing spacing) =>
        CreateTypeface(fontName, weight >= ScottPlot.FontWeight.SemiBold, italic: false);

    private static PaperFonts Register()
    {
        var fonts = new PaperFonts();
        GlobalFontSettings.FontResolver = fonts;
        ScottPlot.Fonts.FontResolvers.Insert(0, fonts);
        ScottPlot.Fonts.Default = Family;
        return fonts;
    }

    private static SKTypeface Typeface(string faceName) => SKTypeface.FromStream(Open(faceName));

    private static Stream Open(string faceName) =>
        typeof(PaperFonts).Assembly.GetManifestResourceStream($"{typeof(PaperFonts).Namespace}.Fonts.{faceName}")
        ?? throw new InvalidOperationException($"The font {faceName} is not in the assembly; build it again with Paper/Fonts.");
}
