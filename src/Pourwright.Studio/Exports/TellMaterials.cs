using System.Globalization;
using Pourwright.Evidence.Epcis;
using Pourwright.Evidence.SupplierLabels;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Exports;

/// <summary>Decides which records tell what happened to lots and containers.</summary>
/// <remarks>
/// What a container holds is a lot of its own from each filling to the next: after a top-up nobody can tell the two apart, and of
/// two cans of one lot a mix names the one it was drawn from. Reasons are free text and stay in the house.
/// </remarks>
public static class TellMaterials
{
    public static LotReceived Received(LotRow row, ExportTerms terms) => new(new Amount(ExportTerms.Lot(row.Name, row.Gtin, row.SupplierLotCode), row.MassMg))
    {
        Time = Instants.FromUnixMs(row.ReceiveMs),
        Zone = terms.ZoneOf(row.Site),
        Place = Site(row.Site),
        Location = Site(row.Site),
        SupplierLot = row.SupplierLotCode,
        Component = row.Part is Part.Pigment ? "pigment" : $"{row.Part}",
        Supplier = row.Supplier.Length == 0 ? null : new(ThingKind.Party, row.Supplier),
        Receiver = terms.Studio,
        ExpiryDate = LastDay(row.ExpiryDate),
        ProductionDate = row.LabelText.Length == 0 ? null : SupplierLabel.Read(row.LabelText, Instants.FromUnixMs(row.ReceiveMs).Year).ProductionDate,
    };

    /// <summary>What one deed is told as; nothing where nothing was there to do it to.</summary>
    /// <param name="deed">Rows of one <see cref="MaterialRow.Deed"/>.</param>
    public static IEnumerable<TraceRecord> Of(IReadOnlyList<MaterialRow> deed, ExportTerms terms) => deed[0].Kind switch
    {
        ContainerEventKinds.Received or ContainerEventKinds.Filled => [Filling(deed[0], terms)],
        ContainerEventKinds.Mixed => [Mixing(deed, terms)],
        ContainerEventKinds.Weighed => [Weighing(deed[0], terms)],
        ContainerEventKinds.Moved => Left(deed).Select(left => Moving(left, deed[0], terms)),
        // Of nothing, where a correction left nothing to throw away.
        ContainerEventKinds.Discarded => deed[0].MassMg == 0 ? [] : [Discarding(deed[0], terms)],
        ContainerEventKinds.Held => deed.GroupBy(row => row.Site).Where(there => Left(there).Any()).Select(there => Holding(there, terms)),
        ContainerEventKinds.Released => deed.GroupBy(row => row.Site).Where(there => Left(there).Any()).Select(there => Releasing(there, terms)),
        _ => throw new ArgumentException($"\"{deed[0].Kind}\" is told as nothing."),
    };

    private static Filled Filling(MaterialRow row, ExportTerms terms) => new(KindOf(row), FilledFrom(row), new(Contents(row), row.BalanceMg))
    {
        Time = Instants.FromUnixMs(row.EventMs),
        Zone = terms.ZoneOf(row.Site),
        Place = Site(row.Site),
        Location = Site(row.Site),
        Act = ExportTerms.Act($"{row.Container}#filling-{row.Contents}"),
    };

    private static FillingKind KindOf(MaterialRow row) =>
        row.Kind == ContainerEventKinds.Received ? FillingKind.Fill : row.Contents == 1 ? FillingKind.Decant : FillingKind.TopUp;

    private static Amount[] FilledFrom(MaterialRow row)
    {
        if (row.Kind == ContainerEventKinds.Received)
            return [new(ExportTerms.Lot(row.Lot!, row.Gtin!, row.SupplierLotCode!), row.MassMg)];
        var before = row.BalanceMg - row.MassMg;
        return
        [
            .. before > 0 ? new[] { new Amount(ExportTerms.Contents(row.Container, row.Contents - 1), before) } : [],
            new(ExportTerms.Contents(row.OtherContainer!, row.OtherContents), row.MassMg),
        ];
    }

    private static Mixed Mixing(IReadOnlyList<MaterialRow> draws, ExportTerms terms)
    {
        var (mix, massMg) = (draws[0], draws.Sum(draw => -draw.MassMg));
        return new([.. draws.Select(draw => new Amount(Contents(draw), -draw.MassMg))], new(ExportTerms.Named(ThingKind.Mix, mix.Mix!), massMg))
        {
            Time = Instants.FromUnixMs(mix.EventMs),
            Zone = terms.ZoneOf(mix.Site),
            Place = Site(mix.Site),
            Location = Site(mix.Site),
            RecordTime = Instants.FromUnixMs(mix.RecordMs!.Value),
            By = terms.Person(mix.Mixer),
            Act = ExportTerms.Act($"{mix.Mix}#mixing"),
            TargetRatioByMass = Target(mix),
            PotLifeEnd = mix.PotLifeEndMs is { } endMs ? Instants.FromUnixMs(endMs) : null,
        };
    }

    /// <summary>As it stood when it was mixed: what was mixed, less its deviation. Null where the sheet gives parts by volume.</summary>
    private static string? Target(MaterialRow mix) => mix is { Basis: ResinSystem.Types.Basis.Mass, HardenerPartsPer100Resin: { } parts, RatioDeviationPercent: { } off }
        ? string.Create(CultureInfo.InvariantCulture, $"100:{parts / (1 + off / 100):0.##}")
        : null;

    private static Weighed Weighing(MaterialRow row, ExportTerms terms) => new(new Amount(Contents(row), row.BalanceMg), row.MassMg)
    {
        Time = Instants.FromUnixMs(row.EventMs), Zone = terms.ZoneOf(row.Site), Place = Site(row.Site), Location = Site(row.Site),
    };

    private static Moved Moving(Amount left, MaterialRow row, ExportTerms terms) => new(left)
    {
        Time = Instants.FromUnixMs(row.EventMs), Zone = terms.ZoneOf(row.Site), Place = Site(row.Site), Location = Site(row.Site),
    };

    private static Discarded Discarding(MaterialRow row, ExportTerms terms) => new([new(Contents(row), -row.MassMg)], [])
    {
        Time = Instants.FromUnixMs(row.EventMs), Zone = terms.ZoneOf(row.Site), Place = Site(row.Site), Location = Site(row.Site),
    };

    private static Held Holding(IGrouping<string, MaterialRow> there, ExportTerms terms) => new([.. Left(there)], [])
    {
        Time = Instants.FromUnixMs(there.First().EventMs), Zone = terms.ZoneOf(there.Key), Place = Site(there.Key), Location = Site(there.Key),
    };

    private static Released Releasing(IGrouping<string, MaterialRow> there, ExportTerms terms) => new([.. Left(there)], [])
    {
        Time = Instants.FromUnixMs(there.First().EventMs), Zone = terms.ZoneOf(there.Key), Place = Site(there.Key), Location = Site(there.Key),
    };

    /// <summary>An empty can is no stock.</summary>
    private static IEnumerable<Amount> Left(IEnumerable<MaterialRow> rows) =>
        rows.Where(row => row.BalanceMg > 0).Select(row => new Amount(Contents(row), row.BalanceMg));

    private static Thing Contents(MaterialRow row) => ExportTerms.Contents(row.Container, row.Contents);

    private static Thing Site(string name) => ExportTerms.Named(ThingKind.Place, name);

    private static DateOnly? LastDay(string? firstRefused) =>
        firstRefused is null ? null : DateOnly.ParseExact(firstRefused, "yyyy-MM-dd", CultureInfo.InvariantCulture).AddDays(-1);
}
