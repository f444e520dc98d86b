using Pourwright.Evidence.Sealing;

namespace Pourwright.Studio.Seals;

/// <summary>A seal as a page of text to print and keep.</summary>
public static class SealPage
{
    public static string Write(string name, Seal seal) => string.Join('\n',
    [
        $"SEAL {name}",
        $"of {seal.SealTime:u}, over {seal.HeadCount} heads",
        "",
        $"root {seal.Root}",
        "",
        .. seal.Heads.SelectMany(head => new[] { $"{head.Site}: {head.RowCount} links, the last", $"     {head.Link}" }),
        "",
        "Keep this where nobody who writes the studio's file can reach it. Every later change of what was recorded",
        "before it is found by it, also where all links were computed anew. It says nothing of what was recorded",
        "after it, nor whether a record was true when it was made.",
        "",
        "For a check it is wanted as one line:",
        SealJson.Write(seal),
        "",
    ]);
}
