using System.ComponentModel;
using Grpc.Core;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright evidence ...</c></summary>
public static class EvidenceNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Whether what was recorded is as it was recorded: seals to keep elsewhere, and the check against them");
        noun.Verb<Make>("seal", "Seals all that is recorded by now; keep the file where nobody who writes the studio's file can reach it", SealAsync,
            "evidence", "seal", "--to", "seal.json");
        noun.Verb<StudioSettings>("list", "Lists the seals, newest first", ListAsync);
        noun.Verb<One>("show", "Prints a seal to keep on paper, or writes it into a file", ShowAsync,
            "evidence", "show", "seal-7k3f-9qtm", "--to", "seal.json");
        noun.Verb<Check>("verify", "Compares every record with its link, the links with the seals, and these with one kept elsewhere; ends with 4 where something was changed",
            VerifyAsync, "evidence", "verify", "--seal", "seal.json");
    }

    public static IRenderable Rows(ListSealsResponse all, SiteClock clock) => Sheets.Rows("No seal.",
        ["Seal", "Made", "Heads", "Root"],
        all.Seals.Select(seal => new Cell[] { ResourceNames.Brief(seal.Name), clock.At(seal.SealTime, null), $"{seal.HeadCount}", seal.Root }));

    private static async Task SealAsync(Desk desk, Make s)
    {
        if (s.To is { } path) TraceOutput.CheckWritable(path);
        var seal = await desk.Server.Seals.CreateSealAsync(new() { Parent = desk.Names.Studio, RequestId = s.RequestId }, desk.Call);
        desk.Output.Say($"Sealed as {ResourceNames.Brief(seal.Name)}.");
        await GiveOutAsync(desk, seal.Name, s.To);
    }

    private static async Task ListAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListSealsRequest { Parent = desk.Names.Studio }, desk.Server.Seals.ListSealsAsync, desk.Stop), Rows);

    private static Task ShowAsync(Desk desk, One s) => GiveOutAsync(desk, desk.Names.Seal(s.Id), s.To);

    /// <summary>A page for people, the one line for files and programs.</summary>
    private static async Task GiveOutAsync(Desk desk, string name, string? path)
    {
        var format = path is null && !desk.Output.Json ? ExportSealRequest.Types.Format.Text : ExportSealRequest.Types.Format.Json;
        await TraceOutput.PrintAsync(desk, await desk.Server.Seals.ExportSealAsync(new() { Name = name, Format = format }, desk.Call), path);
    }

    private static async Task VerifyAsync(Desk desk, Check s)
    {
        var request = new VerifyEvidenceRequest
        {
            Parent = desk.Names.Studio,
            KeptSeal = s.Seal is null ? "" : await File.ReadAllTextAsync(s.Seal, desk.Stop),
        };
        using var call = desk.Server.Seals.VerifyEvidence(request, desk.Call);
        await foreach (var step in call.ResponseStream.ReadAllAsync(desk.Stop)) Tell(desk, step);
    }

    private static void Tell(Desk desk, VerifyEvidenceResponse step)
    {
        if (desk.Output.Json) desk.Output.MessageLine(step);
        else if (step.Fault is { } fault) desk.Output.Show(new Cell(Line(fault), Tone.Bad).Render());
        else if (step.Summary is { } summary) desk.Output.Show(new Cell(summary.Text, summary.FaultCount == 0 ? Tone.Good : Tone.Bad).Render());
        if (step.Summary?.FaultCount > 0) desk.ExitCode = ExitCodes.Faulty;
    }

    private static string Line(EvidenceFault fault) =>
        string.Join(' ', new[] { fault.Chain, fault.HasPrecedingCount ? $"link {fault.PrecedingCount}" : "", fault.Table, fault.Key }.Where(part => part.Length > 0))
        + $": {fault.Finding}";

    private sealed class Make : WriteSettings
    {
        [CommandOption("--to <FILE>")]
        [Description("Write it there, as verify takes it, instead of printing it")]
        public string? To { get; init; }
    }

    private sealed class One : StudioSettings
    {
        [CommandArgument(0, "<seal>")]
        public required string Id { get; init; }

        [CommandOption("--to <FILE>")]
        [Description("Write it there, as verify takes it, instead of printing it")]
        public string? To { get; init; }
    }

    private sealed class Check : StudioSettings
    {
        [CommandOption("--seal <FILE>")]
        [Description("A seal that was kept elsewhere")]
        public string? Seal { get; init; }
    }
}
