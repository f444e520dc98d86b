using System.Text.Json;
using Pourwright.Evidence.Epcis;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using EventPaper = Pourwright.Evidence.Epcis.Paper;

namespace Pourwright.Studio.Exports;

/// <summary>Decides which records tell what happened to pieces and to what was left of mixes. Notes are free text and stay in the house.</summary>
public static class TellPieces
{
    private const string Summary = "mean-of-readings";

    public static Poured Poured(PouredRow row, ExportTerms terms) =>
        new([new(ExportTerms.Named(ThingKind.Mix, row.Mix), row.MassMg)], Piece(row.Piece))
        {
            Time = Instants.FromUnixMs(row.PourMs),
            Zone = terms.ZoneOf(ResourceNames.SiteOf(row.Bench)),
            Place = Place(row.Bench),
            Location = Place(ResourceNames.SiteOf(row.Bench)),
            RecordTime = Instants.FromUnixMs(row.RecordMs),
            By = terms.Person(row.Pourer),
            Papers = Ordered(row.CastingClass),
            Act = ExportTerms.Act(row.Name),
            OntoEarlierLayer = row.LayerCount > 1,
            Mould = ResourceKind.Mould.Matches(row.Mould) ? ExportTerms.Named(ThingKind.Mould, row.Mould) : null,
            DepthMm = Rounded(row.DepthMm),
        };

    public static CureRead Cured(CureRow row, ExportTerms terms) =>
        new(Piece(row.Piece), ExportTerms.Named(ThingKind.Logger, row.Sensor), Instants.FromUnixMs(row.FromMs))
        {
            Time = Instants.FromUnixMs(row.ToMs),
            Zone = terms.ZoneOf(ResourceNames.SiteOf(row.Bench)),
            Place = Place(row.Bench),
            Location = Place(ResourceNames.SiteOf(row.Bench)),
            Method = Summary,
            TemperatureCelsius = new(Rounded(row.LeastCelsius), Rounded(row.MostCelsius), Rounded(row.MeanCelsius), Rounded(Math.Sqrt(Math.Max(0, row.VarianceCelsius)))),
            RelativeHumidityPercent = row is { LeastPercent: { } least, MostPercent: { } most, MeanPercent: { } mean }
                ? new(Rounded(least), Rounded(most), Rounded(mean))
                : null,
        };

    public static Checked Seen(CheckRow row, ExportTerms terms) => new(Piece(row.Piece))
    {
        Time = Instants.FromUnixMs(row.CheckMs),
        Zone = terms.ZoneOf(row.Site),
        Place = Place(row.Site),
        Location = Place(row.Site),
        RecordTime = Instants.FromUnixMs(row.RecordMs),
        By = terms.Person(row.Checker),
        Papers = [new(PaperKind.TestResult, ExportTerms.Named(ThingKind.Document, row.Name))],
        Touch = row.Touch == Check.Types.Touch.Unspecified ? null : Word(row.Touch),
        ShoreD = row.ShoreD is { } shoreD ? Rounded(shoreD) : null,
    };

    public static Inspected Faulty(DefectRow row, ExportTerms terms) => new(Piece(row.Piece), [new(Word(row.Kind))])
    {
        Time = Instants.FromUnixMs(row.FindMs),
        Zone = terms.ZoneOf(row.Site),
        Place = Place(row.Site),
        Location = Place(row.Site),
        By = terms.Person(row.Finder),
    };

    /// <summary>A recall goes by its name: its reason is free text.</summary>
    public static TraceRecord Kept(PieceHoldRow row, ExportTerms terms) => row switch
    {
        { IsHeld: false } => new Released([], [Piece(row.Piece)])
        {
            Time = Instants.FromUnixMs(row.EventMs), Zone = terms.ZoneOf(row.Site), Place = Place(row.Site), Location = Place(row.Site), By = terms.Person(row.Person),
        },
        { Recall: "" } => new Held([], [Piece(row.Piece)])
        {
            Time = Instants.FromUnixMs(row.EventMs), Zone = terms.ZoneOf(row.Site), Place = Place(row.Site), Location = Place(row.Site), By = terms.Person(row.Person),
        },
        _ => new Recalled([], [Piece(row.Piece)])
        {
            Time = Instants.FromUnixMs(row.EventMs), Zone = terms.ZoneOf(row.Site), Place = Place(row.Site), Location = Place(row.Site), By = terms.Person(row.Person),
            Reason = ResourceNames.IdOf(row.Recall),
        },
    };

    public static Discarded Wasted(WasteRow row, ExportTerms terms) => new(
        row.Mix is { } mix ? [new Amount(ExportTerms.Named(ThingKind.Mix, mix), row.MassMg)] : [],
        row.Piece is { } piece ? [Piece(piece)] : [])
    {
        Time = Instants.FromUnixMs(row.WasteMs),
        Zone = terms.ZoneOf(row.Site),
        Place = Place(row.Site),
        Location = Place(row.Site),
        By = terms.Person(row.Worker),
    };

    /// <summary>A class by name; the studio's own words for one are free text.</summary>
    private static EventPaper[] Ordered(string castingClass) => ResourceKind.CastingClass.Matches(castingClass)
        ? [new(PaperKind.ProductionOrder, ExportTerms.Named(ThingKind.Document, castingClass))]
        : [];

    private static Thing Piece(string name) => ExportTerms.Named(ThingKind.Piece, name);

    private static Thing Place(string name) => ExportTerms.Named(ThingKind.Place, name);

    /// <summary>To a hundredth: finer than any logger or rule here.</summary>
    private static decimal Rounded(double value) => Math.Round((decimal)value, 2);

    /// <summary><c>SoftPatches</c> is "soft_patches".</summary>
    private static string Word<T>(T value) where T : struct, Enum => JsonNamingPolicy.SnakeCaseLower.ConvertName($"{value}");
}
