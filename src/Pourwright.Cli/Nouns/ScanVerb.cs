using System.ComponentModel;
using System.Globalization;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright lot scan</c>: a supplier's label, read, compared with the can by a person, and then kept with its lot.</summary>
public static class ScanVerb
{
    /// <summary>How people type the separator that no keyboard has.</summary>
    private const string TypedFnc1 = "<GS>";

    private const string Fnc1 = "\u001d";

    public static void Register(Noun noun) => noun.Verb<Scan>("scan", "Reads a supplier's label and, with --can, takes the lot in once you have compared it with the can", ScanAsync,
        "lot", "scan", "(01)09506000134352(10)A2602-17(17)271231", "lot-a1", "--part", "a", "--resin", "deep", "--can", "can-a1=5kg");

    public static IRenderable Card(ParseSupplierLabelResponse read) => Sheets.Stack(
    [
        .. Readings(read).Select((label, index) => Reading(label, read.OtherReadings.Count == 0 ? "The label says" : $"Reading {index + 1}")),
        .. Cautions.Show(read.Cautions),
    ]);

    private static IRenderable Reading(SupplierLabelReading label, string heading) => Sheets.Card(heading,
        ("Lot", label.SupplierLotCode.Length == 0 ? new("none: read it off the can", Tone.Wait) : new(label.SupplierLotCode, Tone.Strong)),
        ("GTIN", label.Gtin),
        ("Serial", label.Serial),
        ("Last day of use", LotNoun.Day(label.ExpiryDate)),
        ("Refused from", LotNoun.Day(label.RefuseDate)),
        ("Best before", LotNoun.Day(label.BestBeforeDate)),
        ("Made", LotNoun.Day(label.ProductionDate)),
        ("Net content", label.HasNetMassMg ? new Mass(label.NetMassMg).ToString() : null),
        ("All of it", string.Concat(label.Elements.Select(element => $"({element.ApplicationIdentifier}){element.Value}"))));

    private static async Task ScanAsync(Desk desk, Scan s)
    {
        var text = s.Text.Replace(TypedFnc1, Fnc1, StringComparison.OrdinalIgnoreCase);
        var read = await desk.Server.Labels.ParseSupplierLabelAsync(new() { Parent = desk.Names.Studio, Text = text }, desk.Call);
        if (s.Cans.Length == 0 || !desk.Output.Json)
            await desk.PrintAsync(read, (answer, _) => Card(answer));
        if (s.Cans.Length > 0)
            await ReceiveAsync(desk, s, text, await ChosenAsync(desk, s, Readings(read)));
    }

    private static async Task ReceiveAsync(Desk desk, Scan s, string text, SupplierLabelReading label)
    {
        var lot = await LotNoun.LotOfAsync(desk, s, s.Part ?? throw new UsageException("Say which part it is: --part a, b or pigment."), CodeOf(label, s));
        lot.LabelText = text;
        await LotNoun.PrintAsync(desk, await desk.Server.Lots.ReceiveLotAsync(new()
        {
            Parent = desk.Names.Studio,
            Lot = lot,
            LotId = s.Id ?? "",
            LabelConfirmed = true,
            Containers = { await LotNoun.ContainersAsync(desk, s.Cans) },
            RequestId = s.RequestId,
        }, desk.Call));
    }

    private static string CodeOf(SupplierLabelReading label, Scan s) => label.SupplierLotCode.Length > 0
        ? label.SupplierLotCode
        : s.Code ?? throw new UsageException("The label names no lot: write --code as the can shows it.");

    /// <exception cref="UsageException">Nobody has compared the label with the can.</exception>
    private static async Task<SupplierLabelReading> ChosenAsync(Desk desk, Scan s, IReadOnlyList<SupplierLabelReading> readings)
    {
        if (s.Reading is { } given && (given < 1 || given > readings.Count))
            throw new UsageException($"There is no reading {given}: the label has {readings.Count}.");
        if (s.Yes)
            return readings.Count == 1 || s.Reading is not null
                ? readings[(s.Reading ?? 1) - 1]
                : throw new UsageException($"The label may be read in {readings.Count} ways. Compare them with the can, then say which: --reading 1 to {readings.Count}.");
        var answer = (await desk.AskAsync(Question(readings)))?.Trim() ?? "";
        var number = readings.Count == 1 && answer.Equals("yes", StringComparison.OrdinalIgnoreCase) ? 1
            : readings.Count > 1 && int.TryParse(answer, NumberStyles.None, CultureInfo.InvariantCulture, out var chosen) ? chosen : 0;
        return number >= 1 && number <= readings.Count
            ? readings[number - 1]
            : throw new UsageException("Nothing was taken in. Compare the label with the can and answer, or write --yes once you have.");
    }

    private static string Question(IReadOnlyList<SupplierLabelReading> readings) => readings.Count > 1
        ? $"Which does the can say? 1 to {readings.Count}, or nothing to stop:"
        : $"Does the can say {(readings[0].SupplierLotCode is { Length: > 0 } lot ? $"lot {lot}" : "this")}? Write yes to take it in:";

    private static IReadOnlyList<SupplierLabelReading> Readings(ParseSupplierLabelResponse read) => [read.Reading, .. read.OtherReadings];

    private sealed class Scan : LotNoun.Delivery
    {
        [CommandArgument(0, "<text>")]
        [Description("What the scanner sent, in quotes; <GS> stands for the separator FNC1. Or typed: (01)09506000134352(10)A2602-17")]
        public required string Text { get; init; }

        [CommandArgument(1, "[lot]")]
        [Description("Id of the lot; made up where left out")]
        public string? Id { get; init; }

        [CommandOption("-p|--part <PART>")]
        [Description("a (resin), b (hardener) or pigment")]
        [TypeConverter(typeof(WordConverter<Part>))]
        public Part? Part { get; init; }

        [CommandOption("--can <NAME=MASS>")]
        [Description("A container and its net content, for example can-a1=5kg; repeat for more. Without one the label is only read")]
        public string[] Cans { get; init; } = [];

        [CommandOption("--code <CODE>")]
        [Description("The lot code on the can, where the label names none")]
        public string? Code { get; init; }

        [CommandOption("--reading <NUMBER>")]
        [Description("Which of several readings the can shows")]
        public int? Reading { get; init; }

        [CommandOption("-y|--yes")]
        [Description("The label was compared with the can: do not ask")]
        public bool Yes { get; init; }
    }
}
