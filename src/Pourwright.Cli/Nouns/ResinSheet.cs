using System.ComponentModel;
using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using static Pourwright.V1.DataSheet.Types;

namespace Pourwright.Cli.Nouns;

/// <summary>A data sheet as it is typed and as it is shown.</summary>
public static class ResinSheet
{
    /// <summary>What is printed; facts that are not known are empty.</summary>
    public static IEnumerable<(string, Cell)> Lines(ResinSystem resin, DataSheet sheet) =>
    [
        ("Data sheet", sheet.Version),
        ("Safety data sheet", sheet.SafetyDataSheetUri),
        ("Pot life", At(sheet.PotLife, sheet.HasPotLifeBatchMassMg ? $"{new Mass(sheet.PotLifeBatchMassMg)}{InA(sheet.PotLifeVessel)}" : null,
            sheet.HasPotLifeTemperatureCelsius ? sheet.PotLifeTemperatureCelsius : null)),
        ("Gel", At(sheet.GelTime, null, sheet.HasGelTemperatureCelsius ? sheet.GelTemperatureCelsius : null)),
        .. sheet.FurtherGelTimes.Select(gel => ("Gel", (Cell)At(gel.GelTime, null, gel.TemperatureCelsius))),
        ("Demold", At(sheet.DemoldTime, sheet.HasDemoldDepthMm ? new Depth(sheet.DemoldDepthMm).ToString() : null,
            sheet.HasDemoldTemperatureCelsius ? sheet.DemoldTemperatureCelsius : null)),
        ("Full cure", At(sheet.FullCureTime, null, sheet.HasFullCureTemperatureCelsius ? sheet.FullCureTemperatureCelsius : null)),
        ("Peak", sheet.HasPeakTemperatureCelsius
            ? $"{new Temperature(sheet.PeakTemperatureCelsius)}, {new Depth(sheet.PeakDepthMm)}, {new Temperature(sheet.PeakRoomTemperatureCelsius)}" : null),
        ("Deepest pour holds at", sheet.HasMaxDepthTemperatureCelsius ? new Temperature(sheet.MaxDepthTemperatureCelsius).ToString() : null),
        ("Other ratio", sheet.HasOtherBasisHardenerPartsPer100Resin ? string.Create(CultureInfo.InvariantCulture,
            $"100 A : {sheet.OtherBasisHardenerPartsPer100Resin:0.##} B by {(resin.Basis == ResinSystem.Types.Basis.Mass ? "volume" : "mass")}") : null),
        ("Epoxide equivalent", sheet.HasEpoxideEquivalentWeightGPerMol ? GramsPerMole(sheet.EpoxideEquivalentWeightGPerMol) : null),
        ("Amine hydrogen equivalent",
            sheet.HasAmineHydrogenEquivalentWeightGPerMol ? GramsPerMole(sheet.AmineHydrogenEquivalentWeightGPerMol) : null),
    ];

    /// <summary>Reads <c>12h@30C</c>.</summary>
    /// <exception cref="FormatException">Not a duration at a temperature.</exception>
    public static Gel ReadGel(string text) => text.Split('@') is [var time, var temperature]
        ? new() { GelTime = Duration.FromTimeSpan(Span.Parse(time).Length), TemperatureCelsius = Temperature.Parse(temperature).Celsius }
        : throw new FormatException($"'{text}' is not a gel time at a temperature: write 12h@30C.");

    internal static Duration? Lasting(Span? span) => span is { } given ? Duration.FromTimeSpan(given.Length) : null;

    internal static DataSheet Filled(SheetSettings s)
    {
        var sheet = new DataSheet
        {
            Version = s.SheetVersion ?? "",
            SafetyDataSheetUri = s.SafetySheet ?? "",
            PotLife = Lasting(s.PotLife),
            PotLifeVessel = s.PotLifeVessel,
            GelTime = Lasting(s.Gel),
            FurtherGelTimes = { (s.FurtherGels ?? []).Select(ReadGel) },
            DemoldTime = Lasting(s.Demold),
            FullCureTime = Lasting(s.FullCure),
        };
        SetAmounts(sheet, s);
        SetTemperatures(sheet, s);
        return sheet;
    }

    private static void SetAmounts(DataSheet sheet, SheetSettings s)
    {
        if (s.PotLifeBatch is { } batch)
            sheet.PotLifeBatchMassMg = batch.Mg;
        if (s.DemoldDepth is { } depth)
            sheet.DemoldDepthMm = depth.Mm;
        if (s.Peak is { } peak)
            sheet.PeakTemperatureCelsius = peak.Celsius;
        if (s.PeakDepth is { } peakDepth)
            sheet.PeakDepthMm = peakDepth.Mm;
        if (s.OtherParts is { } parts)
            sheet.OtherBasisHardenerPartsPer100Resin = parts;
        if (s.Epoxide is { } epoxide)
            sheet.EpoxideEquivalentWeightGPerMol = epoxide;
        if (s.Amine is { } amine)
            sheet.AmineHydrogenEquivalentWeightGPerMol = amine;
    }

    // A figure's own temperature, else that of the sheet; a temperature without its figure is not sent.
    private static void SetTemperatures(DataSheet sheet, SheetSettings s)
    {
        if (sheet.PotLife is not null && (s.PotLifeAt ?? s.SheetTemperature) is { } potLife)
            sheet.PotLifeTemperatureCelsius = potLife.Celsius;
        if (sheet.GelTime is not null && (s.GelAt ?? s.SheetTemperature) is { } gel)
            sheet.GelTemperatureCelsius = gel.Celsius;
        if (sheet.DemoldTime is not null && (s.DemoldAt ?? s.SheetTemperature) is { } demold)
            sheet.DemoldTemperatureCelsius = demold.Celsius;
        if (sheet.FullCureTime is not null && (s.FullCureAt ?? s.SheetTemperature) is { } fullCure)
            sheet.FullCureTemperatureCelsius = fullCure.Celsius;
        if (sheet.HasPeakTemperatureCelsius && (s.PeakAt ?? s.SheetTemperature) is { } room)
            sheet.PeakRoomTemperatureCelsius = room.Celsius;
        if (s.MaxDepthAt is { } deepest)
            sheet.MaxDepthTemperatureCelsius = deepest.Celsius;
    }

    private static string? At(Duration? time, string? amount, double? celsius) => time is null ? null
        : string.Join(", ", new[] { new Span(time.ToTimeSpan()).ToString(), amount, celsius is { } t ? new Temperature(t).ToString() : null }.Where(x => x is not null));

    private static string InA(Vessel vessel) => vessel == Vessel.Unspecified ? "" : $" in a {Words.Of(vessel)}";

    private static string GramsPerMole(double weight) => string.Create(CultureInfo.InvariantCulture, $"{weight:0.#} g/mol");
}

/// <summary>Options of a command that writes a data sheet.</summary>
internal abstract class SheetSettings : WriteSettings
{
    [CommandOption("--sheet <VERSION>")]
    [Description("Version or date printed on the data sheet")]
    public string? SheetVersion { get; init; }

    [CommandOption("--sds <URI>")]
    [Description("Where the safety data sheet is kept")]
    public string? SafetySheet { get; init; }

    [CommandOption("--sheet-at <DEGREES>")]
    [Description("The temperature of the sheet's figures, where a figure has none of its own")]
    public Temperature? SheetTemperature { get; init; }

    [CommandOption("--pot-life <SPAN>")]
    [Description("Until the batch below starts to heat and thicken")]
    public Span? PotLife { get; init; }

    [CommandOption("--pot-life-batch <MASS>")]
    [Description("The batch of the pot life")]
    public Mass? PotLifeBatch { get; init; }

    [CommandOption("--pot-life-vessel <VESSEL>")]
    [Description("cup or tray; cup unless told")]
    [TypeConverter(typeof(WordConverter<Vessel>))]
    public Vessel PotLifeVessel { get; init; }

    [CommandOption("--pot-life-at <DEGREES>")]
    [Description("The temperature of the pot life")]
    public Temperature? PotLifeAt { get; init; }

    [CommandOption("--gel <SPAN>")]
    [Description("Gel time of a thin film")]
    public Span? Gel { get; init; }

    [CommandOption("--gel-at <DEGREES>")]
    [Description("The temperature of the gel time")]
    public Temperature? GelAt { get; init; }

    [CommandOption("--further-gel <SPAN@DEGREES>")]
    [Description("A gel time at another temperature, for example 12h@30C; repeat for more")]
    public string[]? FurtherGels { get; init; }

    [CommandOption("--demold <SPAN>")]
    [Description("Until a piece may leave its mould")]
    public Span? Demold { get; init; }

    [CommandOption("--demold-depth <DEPTH>")]
    [Description("The depth of the demold time")]
    public Depth? DemoldDepth { get; init; }

    [CommandOption("--demold-at <DEGREES>")]
    [Description("The temperature of the demold time")]
    public Temperature? DemoldAt { get; init; }

    [CommandOption("--full-cure <SPAN>")]
    [Description("Until full cure")]
    public Span? FullCure { get; init; }

    [CommandOption("--full-cure-at <DEGREES>")]
    [Description("The temperature of the full cure")]
    public Temperature? FullCureAt { get; init; }

    [CommandOption("--peak <DEGREES>")]
    [Description("Hottest point of a casting, as the maker measured it")]
    public Temperature? Peak { get; init; }

    [CommandOption("--peak-depth <DEPTH>")]
    [Description("The depth of that casting")]
    public Depth? PeakDepth { get; init; }

    [CommandOption("--peak-at <DEGREES>")]
    [Description("The temperature of the room around it")]
    public Temperature? PeakAt { get; init; }

    [CommandOption("--max-depth-at <DEGREES>")]
    [Description("The temperature at which the sheet allows the deepest pour: then it counts as a figure")]
    public Temperature? MaxDepthAt { get; init; }

    [CommandOption("--other-parts <PARTS>")]
    [Description("Parts of B for 100 of A on the other basis, where the sheet prints both: they are held against each other")]
    public double? OtherParts { get; init; }

    [CommandOption("--epoxide-weight <G_PER_MOL>")]
    [Description("Epoxide equivalent weight of part A")]
    public double? Epoxide { get; init; }

    [CommandOption("--amine-weight <G_PER_MOL>")]
    [Description("Amine hydrogen equivalent weight of part B")]
    public double? Amine { get; init; }
}
