using System.ComponentModel;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright need ...</c></summary>
public static class NeedNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("What classes need: resin, lots, and the sheets for the wall");
        noun.Verb<Class>("class", "The resin of a class, batch by batch", ClassAsync, "need", "class", "boards", "--wood", "1.68kg", "--wood-density", "700");
        noun.Verb<Window>("lots", "Which class takes which containers, what could be moved, what would expire", LotsAsync, "need", "lots", "--site", "north");
        noun.Verb<Short>("short", "What runs short, when, and until when to order it", ShortAsync, "need", "short", "--lead", "21d");
        noun.Verb<OfLot>("lot", "Which coming classes draw on a lot, and what a hold on it does to them", LotAsync, "need", "lot", "lot-a1");
        noun.Verb<Sheet>("sheet", "Prints the mix sheet or the run sheet of a class", SheetAsync, "need", "sheet", "mix", "boards", "--to", "boards-mix.pdf");
    }

    public static IRenderable Card(ResinNeed need, SiteClock clock) => Sheets.Stack(
    [
        Sheets.Card($"Resin of {Brief(need.CastingClass)}",
        [
            ("Pieces", $"{need.PieceCount}"),
            ("Each", $"{new Mass(need.Piece.AMassMg)} of A and {new Mass(need.Piece.BMassMg)} of B, into {need.VoidMl / 1000:0.00} L"),
            ("Losses", $"{new Percent(100 * need.LossShareRatio)}, in these masses"),
            .. need.Systems.Select(system => ($"All of {Brief(system.ResinSystem)}", new Cell($"{new Mass(system.Masses.AMassMg)} of A and {new Mass(system.Masses.BMassMg)} of B", Tone.Strong))),
            ("Largest batch", need.HasMaxBatchMassMg ? new Mass(need.MaxBatchMassMg).ToString() : ""),
        ]),
        Sheets.Rows("", ["Batch", "For", "A", "B", "B may be", "Pour within"], need.Batches.Select(batch => new Cell[]
        {
            new($"{batch.BatchCount}", Tone.Strong), For(batch), new Mass(batch.Masses.AMassMg).ToString(), new Mass(batch.Masses.BMassMg).ToString(),
            $"{new Mass(batch.LeastBMassMg)} to {new Mass(batch.MostBMassMg)}",
            batch.WorkingDuration is { } time ? new Span(time.ToTimeSpan()).ToString() : "",
        })),
        .. Cautions.Show(need.Cautions),
    ]);

    public static IRenderable Lots(LotPlan plan, SiteClock clock) => Sheets.Stack(
    [
        Sheets.Rows("No class pours in this window.", ["Class", "Pours", "At", "Resin", "A from", "B from", "Missing"], plan.Classes.Select(lots => new Cell[]
        {
            new(Brief(lots.CastingClass), Tone.Strong), clock.At(lots.PourTime, lots.Site), Brief(lots.Site), Brief(lots.ResinSystem),
            From(lots, Part.A), From(lots, Part.B), Missing(lots.Missing),
        })),
        .. plan.Classes.SelectMany(lots => lots.Cautions.Select(caution => new Cell($"CAUTION, {Brief(lots.CastingClass)}: {caution.Text}", Tone.Wait).Render())),
        .. plan.Moves.Select(move => new Cell(
            $"Could be moved: {Brief(move.Container)} from {Brief(move.FromSite)} to {Brief(move.ToSite)}, covers {new Mass(move.MassMg)} of {move.Part} for {Brief(move.CastingClass)}. Nothing moves by itself.").Render()),
        plan.Expiring.Count == 0 ? null : Sheets.Rows("", ["Would expire", "At", "Holding", "From"], plan.Expiring.Select(left => new Cell[]
        {
            Brief(left.Container), Brief(left.Site), new Mass(left.MassMg).ToString(), clock.At(left.ExpireTime, left.Site),
        })),
        plan.Proved ? null : new Cell("Not proved: fewer classes of several lots, or less waste, may be possible.", Tone.Faint).Render(),
        .. Cautions.Show(plan.Cautions),
    ]);

    public static IRenderable Shortfalls(ListShortfallsResponse all, SiteClock clock) => Sheets.Rows("Nothing runs short.",
        ["At", "Resin", "Part", "Bites", "For", "Missing then", "Class needs", "Missing in all", "Order by"],
        all.Shortfalls.Select(found => new Cell[]
        {
            Brief(found.Site), Brief(found.ResinSystem), $"{found.Part}", clock.At(found.PourTime, found.Site), Brief(found.CastingClass),
            new(new Mass(found.ClassMissingMassMg).ToString(), Tone.Bad), new Mass(found.ClassNeedMassMg).ToString(), new Mass(found.MissingMassMg).ToString(),
            found.Late ? new Cell($"{Day(found.OrderDate)}: LATE", Tone.Bad) : Day(found.OrderDate),
        }));

    public static IRenderable LotClasses(ListLotClassesResponse all, SiteClock clock) => Sheets.Rows("No coming class draws on it.",
        ["Class", "Pours", "At", "Of it", "Without it"],
        all.Classes.Select(found => new Cell[]
        {
            new(Brief(found.CastingClass), Tone.Strong), clock.At(found.PourTime, found.Site), Brief(found.Site), new Mass(found.MassMg).ToString(), Without(found),
        }));

    private static Cell Without(LotClass found)
    {
        var others = string.Join(", ", found.OtherLots.Select(Brief));
        if (found.MissingMassMg > 0) return new($"MISSES {new Mass(found.MissingMassMg)}{(others.Length > 0 ? $", the rest from {others}" : "")}", Tone.Bad);
        return found.Mixed ? new Cell($"SEVERAL LOTS: {others}", Tone.Wait) : $"from {others}";
    }

    private static string For(ResinBatch batch)
    {
        var pieces = batch.FirstPieceCount == batch.LastPieceCount ? $"piece {batch.FirstPieceCount}" : $"pieces {batch.FirstPieceCount} to {batch.LastPieceCount}";
        return batch.LayerCount == 0 ? $"seal coat, {pieces}" : $"layer {batch.LayerCount}, {pieces}";
    }

    private static string From(ClassLots lots, Part part) =>
        string.Join(", ", lots.Draws.Where(draw => draw.Part == part).Select(draw => $"{Brief(draw.Container)} {new Mass(draw.MassMg)}"));

    private static Cell Missing(PartMasses missing)
    {
        (long Mg, string Part)[] parts = [(missing.AMassMg, "A"), (missing.BMassMg, "B")];
        return new(string.Join(", ", parts.Where(part => part.Mg > 0).Select(part => $"{new Mass(part.Mg)} of {part.Part}")), Tone.Bad);
    }

    private static string Day(Google.Type.Date day) => $"{day.Year:0000}-{day.Month:00}-{day.Day:00}";

    private static string Brief(string name) => ResourceNames.Brief(name);

    private static async Task ClassAsync(Desk desk, Class s)
    {
        var request = new GetResinNeedRequest { Name = desk.Names.Class(s.Id), Conditions = Conditions(s) };
        if (s.Wood is { } wood) request.WoodMassMg = wood.Mg;
        if (s.WoodDensity is { } density) request.WoodDensityKgPerM3 = density;
        await desk.PrintAsync(await desk.Server.Needs.GetResinNeedAsync(request, desk.Call), Card);
    }

    private static async Task LotsAsync(Desk desk, Window s)
    {
        var request = new PlanLotsRequest
        {
            Parent = desk.Names.Studio, Site = desk.SiteFilter, StartTime = await desk.WhenAsync(s.From, WhenSense.Planned),
            EndTime = await desk.BoundAsync(s.Until, WhenSense.Planned), ExpiryMargin = Duration(s.Margin),
        };
        await desk.PrintAsync(await desk.Server.Needs.PlanLotsAsync(request, desk.Call), Lots);
    }

    private static async Task ShortAsync(Desk desk, Short s)
    {
        var request = new ListShortfallsRequest
        {
            Parent = desk.Names.Studio, Site = desk.SiteFilter, StartTime = await desk.WhenAsync(s.From, WhenSense.Planned),
            EndTime = await desk.BoundAsync(s.Until, WhenSense.Planned), ExpiryMargin = Duration(s.Margin), LeadDuration = Duration(s.Lead),
        };
        await desk.PrintAsync(await Server.ListAsync(request, desk.Server.Needs.ListShortfallsAsync, desk.Stop), Shortfalls);
    }

    private static async Task LotAsync(Desk desk, OfLot s) => await desk.PrintAsync(
        await Server.ListAsync(new ListLotClassesRequest { Parent = desk.Names.Lot(s.Id) }, desk.Server.Needs.ListLotClassesAsync, desk.Stop), LotClasses);

    private static async Task SheetAsync(Desk desk, Sheet s)
    {
        var (name, format) = (desk.Names.Class(s.Id), s.To is null ? SheetFormat.Text : SheetFormat.Pdf);
        var page = s.Kind == SheetKind.Mix
            ? await desk.Server.Needs.PrintMixSheetAsync(new() { Name = name, Format = format, Conditions = Conditions(s) }, desk.Call)
            : await desk.Server.Needs.PrintRunSheetAsync(new() { Name = name, Format = format }, desk.Call);
        await TraceOutput.PrintAsync(desk, page, s.To);
    }

    private static MixConditions? Conditions(MixSettings s)
    {
        if (s is { Temperature: null, Room: null }) return null;
        var conditions = new MixConditions();
        if (s.Temperature is { } resin) conditions.ResinTemperatureCelsius = resin.Celsius;
        if (s.Room is { } room) conditions.RoomTemperatureCelsius = room.Celsius;
        return conditions;
    }

    private static Duration? Duration(Span? span) => span is { } given ? Google.Protobuf.WellKnownTypes.Duration.FromTimeSpan(given.Length) : null;

    /// <summary>Which sheet.</summary>
    public enum SheetKind
    {
        /// <summary>What to weigh.</summary>
        Mix,

        /// <summary>Which piece goes when.</summary>
        Run,
    }

    private class MixSettings : StudioSettings
    {
        [CommandOption("--temp <TEMPERATURE>")]
        [Description("Of both parts when they are mixed; 22C unless told")]
        public Temperature? Temperature { get; init; }

        [CommandOption("--room <TEMPERATURE>")]
        [Description("Of the room; 21C unless told")]
        public Temperature? Room { get; init; }
    }

    private sealed class Class : MixSettings
    {
        [CommandArgument(0, "<class>")]
        public required string Id { get; init; }

        [CommandOption("--wood <MASS>")]
        [Description("Weighed wood of one piece; the offering's share unless told")]
        public Mass? Wood { get; init; }

        [CommandOption("--wood-density <KG_PER_M3>")]
        [Description("Density of that wood, in kg/m³")]
        public double? WoodDensity { get; init; }
    }

    private class Window : StudioSettings
    {
        [CommandOption("--from <TIME>")]
        [Description("Classes that pour from then on; now unless told")]
        public string? From { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("Up to then; twelve weeks later unless told")]
        public string? Until { get; init; }

        [CommandOption("--margin <DURATION>")]
        [Description("How long before its expiry a container is used last, for example 7d; none unless told")]
        public Span? Margin { get; init; }
    }

    private sealed class Short : Window
    {
        [CommandOption("--lead <DURATION>")]
        [Description("From an order to the shelf, in whole days; 14d unless told")]
        public Span? Lead { get; init; }
    }

    private sealed class OfLot : StudioSettings
    {
        [CommandArgument(0, "<lot>")]
        public required string Id { get; init; }
    }

    private sealed class Sheet : MixSettings
    {
        [CommandArgument(0, "<sheet>")]
        [Description("mix or run")]
        public required SheetKind Kind { get; init; }

        [CommandArgument(1, "<class>")]
        public required string Id { get; init; }

        [CommandOption("--to <FILE>")]
        [Description("A PDF file; on the screen unless told")]
        public string? To { get; init; }
    }
}
