namespace Pourwright.Pages.Serving;

/// <summary>Lists of the API, all pages of them.</summary>
public static class Lists
{
    /// <summary>The most that a page of a list holds.</summary>
    public const int PageSize = 500;

    /// <summary>Asks for page after page, from the empty token on.</summary>
    public static async Task<List<TItem>> AllAsync<TItem>(Func<string, Task<(IEnumerable<TItem> Items, string Next)>> ask)
    {
        List<TItem> all = [];
        var token = "";
        do
        {
            (var items, token) = await ask(token);
            all.AddRange(items);
        }
        while (token.Length > 0);
        return all;
    }
}
