using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright drill ...</c></summary>
public static class DrillNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Practise a recall against the clock: nobody is told, nothing is held");
        noun.Verb<Run>("run", "Runs a drill, from a lot, a piece, or a piece chosen by chance", RunAsync,
            "drill", "run", "--lot", "lot-b7", "--to", "certificate.pdf", "--by", "ana");
    }

    private static async Task RunAsync(Desk desk, Run s)
    {
        if (s.To is { } wanted) RecallNoun.CheckSavable(wanted);
        var request = new StartDrillRequest
        {
            Parent = desk.Names.Studio, Scope = await s.ScopeAsync(desk, withPiece: false), Piece = s.Piece is null ? "" : desk.Names.Piece(s.Piece),
            Seed = s.Seed ?? "", Starter = s.Person, RecallId = s.Id ?? "", RequestId = s.RequestId,
        };
        var drill = await desk.Server.Recalls.StartDrillAsync(request, desk.Call);
        await desk.PrintAsync(drill, RecallNoun.Card);
        if (s.To is { } path) await RecallNoun.SaveAsync(desk, drill.Name, path);
    }

    private sealed class Run : RecallNoun.ScopeSettings
    {
        [CommandArgument(0, "[drill]")]
        [Description("Its id; made up where left out")]
        public string? Id { get; init; }

        [CommandOption("--seed <WORDS>")]
        [Description("Chooses the piece to trace back: the same words, the same piece; its id unless told")]
        public string? Seed { get; init; }

        [CommandOption("--to <FILE>")]
        [Description("Save the certificate: .pdf, .json or .txt")]
        public string? To { get; init; }
    }
}
