namespace Pourwright.Pages.Serving;

/// <summary>Parts of resource names; a page's path is the name of what it shows.</summary>
public static class Names
{
    /// <summary>`x` of `studios/a/pieces/x`.</summary>
    public static string IdOf(string name) => name[(name.LastIndexOf('/') + 1)..];

    /// <summary>`studios/a` of everything in it.</summary>
    public static string StudioOf(string name) => string.Join('/', name.Split('/').Take(2));

    /// <summary>A new id that makes a repeated request harmless.</summary>
    public static string NewRequest() => Guid.NewGuid().ToString();
}
