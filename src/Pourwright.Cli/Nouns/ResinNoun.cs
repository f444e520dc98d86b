using System.ComponentModel;
using System.Globalization;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using static Pourwright.V1.ResinSystem.Types;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright resin ...</c></summary>
public static class ResinNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Resin systems: part A and part B that belong together, with their data sheet");
        noun.Verb<Create>("create", "Creates a resin system from its data sheet", CreateAsync,
            "resin", "create", "deep", "--name", "Deep casting", "--parts", "42", "--tolerance", "2",
            "--class", "deep-casting", "--max-depth", "50mm");
        noun.Verb<StudioSettings>("list", "Lists the resin systems", ListAsync);
        noun.Verb<One>("show", "Shows a resin system", ShowAsync);
        noun.Verb<One>("calibration", "Shows what the data sheet made of the cure model, and how far to trust it", CalibrationAsync, "resin", "calibration", "deep");
        noun.Verb<One>("learned", "Shows what people's checks taught of it and its lots", (desk, s) => LearnedVerb.RunAsync(desk, s.Id), "resin", "learned", "deep");
    }

    public static IRenderable Card(ResinSystem resin) => Sheets.Card($"Resin system {ResourceNames.Brief(resin.Name)}",
    [
        ("Name", resin.DisplayName),
        ("Mix", Ratio(resin)),
        ("Cure class", Words.Of(resin.CureClass)),
        ("Deepest pour", resin.HasMaxDepthMm ? $"{new Depth(resin.MaxDepthMm)}, deeper: {Beyond(resin.DepthLimitAction)}" : null),
        ("Largest batch", resin.HasMaxBatchMassMg ? $"{new Mass(resin.MaxBatchMassMg)}, larger: {Beyond(resin.BatchLimitAction)}" : null),
        ("Coldest room for the cure", resin.HasMinCureTemperatureCelsius ? new Temperature(resin.MinCureTemperatureCelsius).ToString() : null),
        ("Opened shelf life", resin.OpenedShelfLife is { } life ? new Span(life.ToTimeSpan()).ToString() : null),
        .. resin.DataSheet is { } sheet ? ResinSheet.Lines(resin, sheet) : [],
    ]);

    /// <summary>For example <c>100 A : 42 B by mass, ±2 %</c>.</summary>
    public static string Ratio(ResinSystem resin) => string.Create(CultureInfo.InvariantCulture,
        $"100 A : {resin.HardenerPartsPer100Resin:0.##} B by {Words.Of(resin.Basis)}, ±{resin.RatioTolerancePercent:0.##} %");

    private static string Beyond(LimitAction action) => action == LimitAction.Refuse ? "refused" : "a caution";

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var request = new CreateResinSystemRequest
        {
            Parent = desk.Names.Studio,
            ResinSystem = Filled(s),
            ResinSystemId = s.Id ?? "",
            RequestId = s.RequestId,
        };
        await desk.PrintAsync(await desk.Server.Resins.CreateResinSystemAsync(request, desk.Call), (created, _) => Sheets.Stack(
            Card(created),
            new Cell($"What its data sheet made of the forecasts: pourwright resin calibration {ResourceNames.Brief(created.Name)}", Tone.Faint).Render()));
    }

    private static ResinSystem Filled(Create s)
    {
        var resin = new ResinSystem
        {
            DisplayName = s.DisplayName,
            Basis = s.Basis,
            HardenerPartsPer100Resin = s.Parts,
            RatioTolerancePercent = s.Tolerance.Value,
            CureClass = s.CureClass,
            DepthLimitAction = s.DepthRefuse ? LimitAction.Refuse : LimitAction.Warn,
            BatchLimitAction = s.BatchRefuse ? LimitAction.Refuse : LimitAction.Warn,
            OpenedShelfLife = ResinSheet.Lasting(s.OpenedShelfLife),
            DataSheet = ResinSheet.Filled(s),
        };
        if (s.ADensity is { } a)
            resin.ADensityKgPerM3 = a;
        if (s.BDensity is { } b)
            resin.BDensityKgPerM3 = b;
        if (s.MaxDepth is { } depth)
            resin.MaxDepthMm = depth.Mm;
        if (s.MaxBatch is { } batch)
            resin.MaxBatchMassMg = batch.Mg;
        if (s.MinCure is { } coldest)
            resin.MinCureTemperatureCelsius = coldest.Celsius;
        return resin;
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListResinSystemsRequest { Parent = desk.Names.Studio }, desk.Server.Resins.ListResinSystemsAsync, desk.Stop),
        (all, _) => Sheets.Rows("No resin system yet.", ["Resin", "Name", "Mix", "Cure class", "Deepest pour"],
            all.ResinSystems.Select(r => new Cell[]
            {
                ResourceNames.Brief(r.Name), r.DisplayName, Ratio(r), Words.Of(r.CureClass), r.HasMaxDepthMm ? new Depth(r.MaxDepthMm).ToString() : null,
            })));

    private static async Task ShowAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Resins.GetResinSystemAsync(new() { Name = desk.Names.ResinSystem(s.Id) }, desk.Call), (resin, _) => Card(resin));

    private static async Task CalibrationAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Resins.GetResinCalibrationAsync(new() { Name = desk.Names.ResinSystem(s.Id) }, desk.Call),
        (calibration, _) => CalibrationView.Card(calibration));

    private sealed class Create : SheetSettings
    {
        [CommandArgument(0, "[resin]")]
        [Description("Its id; made up where left out")]
        public string? Id { get; init; }

        [CommandOption("-n|--name <NAME>", true)]
        [Description("What people call it")]
        public required string DisplayName { get; init; }

        [CommandOption("--parts <PARTS>", true)]
        [Description("Parts of B for 100 parts of A")]
        public required double Parts { get; init; }

        [CommandOption("--basis <BASIS>")]
        [Description("mass or volume; mass unless told. Volume needs both densities")]
        [TypeConverter(typeof(WordConverter<Basis>))]
        public Basis Basis { get; init; } = Basis.Mass;

        [CommandOption("--tolerance <PERCENT>", true)]
        [Description("How far the hardener may lie from its target")]
        public required Percent Tolerance { get; init; }

        [CommandOption("--class <CLASS>", true)]
        [Description("deep-casting or fast-coating")]
        [TypeConverter(typeof(WordConverter<CureClass>))]
        public required CureClass CureClass { get; init; }

        [CommandOption("--a-density <KG_PER_M3>")]
        public double? ADensity { get; init; }

        [CommandOption("--b-density <KG_PER_M3>")]
        public double? BDensity { get; init; }

        [CommandOption("--max-depth <DEPTH>")]
        [Description("Deepest single pour")]
        public Depth? MaxDepth { get; init; }

        [CommandOption("--refuse-depth")]
        [Description("Refuse a deeper pour; else it is a caution")]
        public bool DepthRefuse { get; init; }

        [CommandOption("--max-batch <MASS>")]
        [Description("Largest batch in one vessel")]
        public Mass? MaxBatch { get; init; }

        [CommandOption("--refuse-batch")]
        [Description("Refuse a larger batch; else it is a caution")]
        public bool BatchRefuse { get; init; }

        [CommandOption("--min-cure <DEGREES>")]
        [Description("Coldest room for the cure; 15C unless told")]
        public Temperature? MinCure { get; init; }

        [CommandOption("--opened <SPAN>")]
        [Description("How long an opened container may be used, for example 180d")]
        public Span? OpenedShelfLife { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<resin>")]
        public required string Id { get; init; }
    }
}
