using System.ComponentModel;
using Grpc.Core;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;
using Format = Pourwright.V1.ExportRecordsRequest.Types.Format;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright export ...</c></summary>
public static class ExportNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("The studio's records for others: people stand in them as ids alone");
        noun.Verb<Export>("epcis", "Every event as EPCIS 2.0 (JSON-LD)", (desk, s) => WriteAsync(desk, s, Format.Epcis),
            "export", "epcis", "--lot", "lot-a1", "--to", "lot-a1.jsonld");
        noun.Verb<Export>("prov", "What was made of what, as a graph (W3C PROV-JSON)", (desk, s) => WriteAsync(desk, s, Format.Prov),
            "export", "prov", "--piece", "piece-7", "--to", "piece-7.json");
        noun.Verb<Export>("csv", "A sheet, a line an event and material", (desk, s) => WriteAsync(desk, s, Format.Csv),
            "export", "csv", "--from", "2026-03-01", "--until", "2026-04-01", "--to", "march.csv");
        noun.Verb<Who>("who", "Says who a person of an export is: stays in the house", WhoAsync,
            "export", "who", "person-7k3f9qtm");
    }

    public static IRenderable Card(ExportSummary summary, string path) => Sheets.Stack(
    [
        new Cell($"Wrote {path}: {summary.EventCount} events, {summary.ByteSize / 1024 + 1} KiB.").Render(),
        .. summary.Warnings.Select(warning => new Cell($"CHECK FAILED: {warning}", Tone.Bad).Render()),
        summary.WarningCount > summary.Warnings.Count
            ? new Cell($"... and {summary.WarningCount - summary.Warnings.Count} more.", Tone.Bad).Render()
            : null,
    ]);

    private static async Task WriteAsync(Desk desk, Export s, Format format)
    {
        var request = new ExportRecordsRequest
        {
            Parent = desk.Names.Studio,
            Format = format,
            Lot = s.Lot is null ? "" : desk.Names.Lot(s.Lot),
            Piece = s.Piece is null ? "" : desk.Names.Piece(s.Piece),
            Site = desk.WrittenSiteFilter,
            StartTime = await desk.BoundAsync(s.From, WhenSense.Happened),
            EndTime = await desk.BoundAsync(s.Until, WhenSense.Happened),
        };
        var summary = await SaveAsync(desk, request, s.To);
        await desk.PrintAsync(summary, (answer, _) => Card(answer, s.To));
    }

    /// <summary>Beside the file first: what is there under its name is whole.</summary>
    private static async Task<ExportSummary> SaveAsync(Desk desk, ExportRecordsRequest request, string path)
    {
        var part = $"{path}.part";
        try
        {
            var summary = await ReceiveAsync(desk, request, part);
            File.Move(part, path, overwrite: true);
            return summary;
        }
        finally
        {
            File.Delete(part);
        }
    }

    private static async Task<ExportSummary> ReceiveAsync(Desk desk, ExportRecordsRequest request, string path)
    {
        using var call = desk.Server.Exports.ExportRecords(request, desk.Call);
        await using var file = File.Create(path);
        ExportSummary? summary = null;
        await foreach (var answer in call.ResponseStream.ReadAllAsync(desk.Stop))
        {
            await file.WriteAsync(answer.Data.Memory, desk.Stop);
            summary = answer.Summary ?? summary;
        }
        return summary is not null && summary.ByteSize == file.Length
            ? summary
            : throw new IOException($"{path} ended early: {file.Length} of {summary?.ByteSize} bytes came. Ask again.");
    }

    private static async Task WhoAsync(Desk desk, Who s) => await desk.PrintAsync(
        await desk.Server.Exports.ExplainPersonAsync(new() { Parent = desk.Names.Studio, PersonId = s.Id }, desk.Call),
        (answer, _) => new Cell(string.Join(", ", answer.DisplayNames)).Render());

    private sealed class Export : StudioSettings
    {
        [CommandOption("--lot <LOT>")]
        [Description("Only what this lot reached, and where all else in it came from")]
        public string? Lot { get; init; }

        [CommandOption("--piece <PIECE>")]
        [Description("Only what this piece was made of, and what became of it")]
        public string? Piece { get; init; }

        [CommandOption("--from <TIME>")]
        [Description("Only what happened from here on")]
        public string? From { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("Only what happened before")]
        public string? Until { get; init; }

        [CommandOption("--to <FILE>", true)]
        [Description("The file")]
        public required string To { get; init; }
    }

    private sealed class Who : StudioSettings
    {
        [CommandArgument(0, "<person>")]
        [Description("The last part of its address in an export")]
        public required string Id { get; init; }
    }
}
