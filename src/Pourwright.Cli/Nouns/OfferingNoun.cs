using System.ComponentModel;
using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using static Pourwright.V1.Offering.Types;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright offering ...</c></summary>
public static class OfferingNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("What is taught: the piece, its resin, and how long each day takes");
        noun.Verb<Create>("create", "Creates an offering", CreateAsync,
            "offering", "create", "tray", "--name", "Serving tray", "--resin", "deep", "--mould", "400mmx250mm", "--depth", "30mm", "--wood", "60%", "--seats", "8");
        noun.Verb<Change>("change", "Changes what is given, leaves the rest", ChangeAsync, "offering", "change", "tray", "--seats", "6");
        noun.Verb<StudioSettings>("list", "Lists the offerings", ListAsync);
        noun.Verb<One>("show", "Shows an offering", ShowAsync);
    }

    public static IRenderable Card(Offering o) => Sheets.Card($"Offering {ResourceNames.Brief(o.Name)}",
        ("Name", o.DisplayName),
        ("Resin", ResourceNames.Brief(o.ResinSystem)),
        ("Mould", $"{Size(o)}, {new Depth(o.DepthMm)} deep"),
        ("Wood takes", o.WoodShareRatio > 0 ? Share(o.WoodShareRatio) : null),
        ("Between walls of wood", o.HasChannelWidthMm ? new Depth(o.ChannelWidthMm).ToString() : null),
        ("Poured in", o.Layers.Count == 0 ? "one pour" : string.Join(", ", o.Layers.Select(Show))),
        ("Class", $"{o.SeatCount} seats, {o.StudentPieceCount} {(o.StudentPieceCount == 1 ? "piece" : "pieces")} each"),
        ("Pour session", Long(o.PourDuration)),
        ("Machine day", $"{Long(o.MachineDuration)}; a piece {Long(o.PlanerDuration)} on the planer, {Long(o.SawDuration)} on the saw"),
        ("Not later than", $"{o.LongestGapDays} days after the pour"),
        ("Finish", o.Finish is { } f ? $"{Long(f.SessionDuration)}, from {Long(f.Wait)} to {f.WithinDays} days after the machine day" : null),
        ("Seal coat", o.SealCoatGPerM2 > 0 ? SealCoat(o) : null),
        ("Loss", Share(o.LossShareRatio)),
        ("Moulds stand", $"{o.MouldPrepDays} {(o.MouldPrepDays == 1 ? "day" : "days")} before the pour"));

    /// <summary>Reads <c>20mm</c>, or <c>20mm+6h</c> for one that is poured later.</summary>
    /// <exception cref="FormatException">No depth, or no duration after the plus.</exception>
    public static Layer ReadLayer(string text)
    {
        var (depth, offset) = Pairs.ValueAndOffset(text);
        return new() { DepthMm = Depth.Parse(depth).Mm, PourOffset = offset == TimeSpan.Zero ? null : Duration.FromTimeSpan(offset) };
    }

    private static string Show(Layer layer) =>
        layer.PourOffset is { } later ? $"{new Depth(layer.DepthMm)} after {Long(later)}" : new Depth(layer.DepthMm).ToString();

    private static string Size(Offering o) => string.Create(CultureInfo.InvariantCulture, $"{o.LengthMm:0.#} x {o.WidthMm:0.#} mm");

    private static string Share(double ratio) => new Percent(100 * ratio).ToString();

    private static string SealCoat(Offering o) => string.Create(CultureInfo.InvariantCulture,
        $"{o.SealCoatGPerM2:0.#} g/m² of {ResourceNames.Brief(o.SealCoatResinSystem == "" ? o.ResinSystem : o.SealCoatResinSystem)}");

    private static string Long(Duration duration) => new Span(duration.ToTimeSpan()).ToString();

    private static async Task CreateAsync(Desk desk, Create s)
    {
        var request = new CreateOfferingRequest { Parent = desk.Names.Studio, Offering = Filled(desk, s), OfferingId = s.Id ?? "", RequestId = s.RequestId };
        await desk.PrintAsync(await desk.Server.Offerings.CreateOfferingAsync(request, desk.Call), (created, _) => Card(created));
    }

    private static async Task ChangeAsync(Desk desk, Change s)
    {
        var offering = Filled(desk, s);
        var request = new UpdateOfferingRequest { Offering = offering, UpdateMask = Masks.Clearing(offering, s.Cleared), RequestId = s.RequestId };
        offering.Name = desk.Names.Offering(s.Id);
        await desk.PrintAsync(await desk.Server.Offerings.UpdateOfferingAsync(request, desk.Call), (changed, _) => Card(changed));
    }

    private static Offering Filled(Desk desk, Values s)
    {
        var offering = new Offering
        {
            DisplayName = s.DisplayName ?? "",
            ResinSystem = s.Resin is null ? "" : desk.Names.ResinSystem(s.Resin),
            Layers = { s.Layers.Select(ReadLayer) },
            SeatCount = s.Seats ?? 0,
            PourDuration = Lasting(s.Pour),
            MachineDuration = Lasting(s.Machines),
            PlanerDuration = Lasting(s.Planer),
            SawDuration = Lasting(s.Saw),
            Finish = s.ReadFinish(),
            SealCoatResinSystem = s.SealResin is null ? "" : desk.Names.ResinSystem(s.SealResin),
        };
        FillPiece(offering, s);
        FillTerms(offering, s);
        return offering;
    }

    private static void FillPiece(Offering offering, Values s)
    {
        if (s.Mould is { } mould)
        {
            var (length, width) = Pairs.Sizes(mould, "400mmx250mm");
            (offering.LengthMm, offering.WidthMm) = (length.Mm, width.Mm);
        }
        offering.DepthMm = s.Depth?.Mm ?? offering.Layers.Sum(layer => layer.DepthMm);
        if (s.Wood is { } wood)
            offering.WoodShareRatio = wood.Value / 100;
        if (s.Channel is { } channel)
            offering.ChannelWidthMm = channel.Mm;
        if (s.Pieces is { } pieces)
            offering.StudentPieceCount = pieces;
    }

    private static void FillTerms(Offering offering, Values s)
    {
        if (s.LongestGap is { } gap)
            offering.LongestGapDays = gap;
        if (s.SealCoat is { } coat)
            offering.SealCoatGPerM2 = coat;
        if (s.Loss is { } loss)
            offering.LossShareRatio = loss.Value / 100;
        if (s.MouldDays is { } days)
            offering.MouldPrepDays = days;
    }

    private static Duration? Lasting(Span? span) => span is { } value ? Duration.FromTimeSpan(value.Length) : null;

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListOfferingsRequest { Parent = desk.Names.Studio }, desk.Server.Offerings.ListOfferingsAsync, desk.Stop),
        (all, _) => Sheets.Rows("No offering yet.", ["Offering", "Name", "Resin", "Mould", "Depth", "Seats", "Days"],
            all.Offerings.Select(o => new Cell[]
            {
                ResourceNames.Brief(o.Name), o.DisplayName, ResourceNames.Brief(o.ResinSystem), Size(o), new Depth(o.DepthMm).ToString(), $"{o.SeatCount}", o.Finish is null ? "2" : "3",
            })));

    private static async Task ShowAsync(Desk desk, One s) => await desk.PrintAsync(
        await desk.Server.Offerings.GetOfferingAsync(new() { Name = desk.Names.Offering(s.Id) }, desk.Call), (offering, _) => Card(offering));

    private abstract class Values : WriteSettings
    {
        [CommandOption("-n|--name <NAME>")]
        [Description("What people call it")]
        public string? DisplayName { get; init; }

        [CommandOption("-r|--resin <RESIN>")]
        [Description("What is poured")]
        public string? Resin { get; init; }

        [CommandOption("--mould <LENGTHxWIDTH>")]
        [Description("Inside the mould, for example 400mmx250mm")]
        public string? Mould { get; init; }

        [CommandOption("--depth <DEPTH>")]
        [Description("Depth of the resin, all layers together; the sum of the layers unless told")]
        public Depth? Depth { get; init; }

        [CommandOption("-l|--layer <DEPTH+LATER>")]
        [Description("A layer of several, for example 20mm, then 20mm+12h after the first; repeat")]
        public string[] Layers { get; init; } = [];

        [CommandOption("--wood <PERCENT>")]
        [Description("Share of the mould that wood takes, for example 60%")]
        public Percent? Wood { get; init; }

        [CommandOption("--channel <WIDTH>")]
        [Description("Width of the resin between walls of wood")]
        public Depth? Channel { get; init; }

        [CommandOption("--seats <NUMBER>")]
        [Description("Seats of a class")]
        public int? Seats { get; init; }

        [CommandOption("--pieces <NUMBER>")]
        [Description("Pieces that each student makes; 1 unless told")]
        public int? Pieces { get; init; }

        [CommandOption("--pour <SPAN>")]
        [Description("How long the pour session takes; 4h unless told")]
        public Span? Pour { get; init; }

        [CommandOption("--machines <SPAN>")]
        [Description("How long the machine day takes; 7h unless told")]
        public Span? Machines { get; init; }

        [CommandOption("--planer <SPAN>")]
        [Description("How long a piece keeps a planer; 10min unless told, 0min where it is not planed")]
        public Span? Planer { get; init; }

        [CommandOption("--saw <SPAN>")]
        [Description("How long a piece keeps a saw; 5min unless told, 0min where it is not sawn")]
        public Span? Saw { get; init; }

        [CommandOption("--longest-gap <DAYS>")]
        [Description("Days from the pour to the machine day at most; 21 unless told")]
        public int? LongestGap { get; init; }

        [CommandOption("--finish <SPAN>")]
        [Description("A third day, and how long it takes; then say --finish-after and --finish-within as well")]
        public Span? Finish { get; init; }

        [CommandOption("--finish-after <SPAN>")]
        [Description("Not before so long after the machine day, for example 12h")]
        public Span? FinishAfter { get; init; }

        [CommandOption("--finish-within <DAYS>")]
        [Description("Not later than so many days after the machine day")]
        public int? FinishWithin { get; init; }

        [CommandOption("--seal-coat <GRAMS>")]
        [Description("Seal coat in g/m2 of wood; 150 unless told, 0 for none")]
        public double? SealCoat { get; init; }

        [CommandOption("--seal-resin <RESIN>")]
        [Description("What the seal coat is made of; the resin that is poured unless told")]
        public string? SealResin { get; init; }

        [CommandOption("--loss <PERCENT>")]
        [Description("What stays in cups and leaks; 12% unless told")]
        public Percent? Loss { get; init; }

        [CommandOption("--mould-days <DAYS>")]
        [Description("Days before the pour by which moulds stand sealed; 1 unless told")]
        public int? MouldDays { get; init; }

        /// <summary>As it is said: the server tells what is missing of it.</summary>
        public Finish? ReadFinish() => Finish is null && FinishAfter is null && FinishWithin is null
            ? null
            : new() { SessionDuration = Lasting(Finish), Wait = Lasting(FinishAfter), WithinDays = FinishWithin ?? 0 };
    }

    private sealed class Create : Values
    {
        [CommandArgument(0, "[offering]")]
        [Description("Its id; made up where left out")]
        public string? Id { get; init; }
    }

    private sealed class Change : Values
    {
        [CommandArgument(0, "<offering>")]
        public required string Id { get; init; }

        [CommandOption("--no-finish")]
        [Description("The machine day is the last")]
        public bool NoFinish { get; init; }

        [CommandOption("--one-pour")]
        [Description("No layers: everything in one pour")]
        public bool OnePour { get; init; }

        public IEnumerable<string> Cleared => [.. NoFinish ? ["finish"] : Array.Empty<string>(), .. OnePour ? ["layers"] : Array.Empty<string>()];
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<offering>")]
        public required string Id { get; init; }
    }
}
