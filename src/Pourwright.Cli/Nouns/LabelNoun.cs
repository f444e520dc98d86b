using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright label ...</c></summary>
public static class LabelNoun
{
    public static void Register(Noun noun)
    {
        noun.Describe("Labels to stick on containers and pieces, before gloves go on");
        noun.Verb<Print>("print", "Writes labels into a PDF of A4 pages, twelve a page, or one into a PNG", PrintAsync,
            "label", "print", "--container", "resin-can-1", "--piece", "piece-7", "--to", "labels.pdf");
    }

    private static async Task PrintAsync(Desk desk, Print s)
    {
        var request = new PrintLabelsRequest
        {
            Parent = desk.Names.Studio,
            Names = { s.Containers.Select(desk.Names.Container), s.Pieces.Select(desk.Names.Piece) },
            Format = Path.GetExtension(s.To).Equals(".png", StringComparison.OrdinalIgnoreCase) ? PrintLabelsRequest.Types.Format.Png : PrintLabelsRequest.Types.Format.Pdf,
            ResolutionDotsPerInch = s.DotsPerInch,
        };
        var labels = await desk.Server.Labels.PrintLabelsAsync(request, desk.Call);
        await TraceOutput.SaveAsync(desk, labels.Data.Memory, s.To);
    }

    private sealed class Print : StudioSettings
    {
        [CommandOption("--container <CONTAINER>")]
        [Description("A container; repeat for more")]
        public string[] Containers { get; init; } = [];

        [CommandOption("--piece <PIECE>")]
        [Description("A piece; repeat for more")]
        public string[] Pieces { get; init; } = [];

        [CommandOption("--to <FILE>", true)]
        [Description("The PDF file; or, for one label, a PNG file")]
        public required string To { get; init; }

        [CommandOption("--dpi <DOTS>")]
        [Description("Resolution of the label printer for a PNG, 150 to 600; 300 unless told")]
        public int DotsPerInch { get; init; }
    }
}
