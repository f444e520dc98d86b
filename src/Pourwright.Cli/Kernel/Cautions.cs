using Pourwright.V1;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Kernel;

/// <summary>What to know before going on, in words that do not need their colour.</summary>
public static class Cautions
{
    public static IEnumerable<IRenderable> Show(IEnumerable<Caution> cautions) =>
        cautions.Select(caution => new Cell($"CAUTION: {caution.Text}", Tone.Wait).Render());
}
