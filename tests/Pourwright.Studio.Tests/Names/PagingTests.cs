using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Tests.Storage;

namespace Pourwright.Studio.Tests.Names;

public sealed class PagingTests
{
    private sealed record Row(long Id, string Text);

    [Theory]
    [InlineData(0, 50)]
    [InlineData(1, 1)]
    [InlineData(500, 500)]
    [InlineData(501, 500)]
    [InlineData(int.MaxValue, 500)]
    public void Read_PageSize_IsDefaultedOrClamped(int asked, int given) =>
        Assert.Equal(given, Paging.Read(asked, "", "ListLots").Size);

    [Fact]
    public void Read_NegativePageSize_IsRefused()
    {
        var refusal = Assert.Throws<Refusal>(() => Paging.Read(-1, "", "ListLots"));
        Assert.Equal((Reasons.FieldInvalid, "page_size", "-1"), (refusal.Reason, refusal.Fields[0].Field, refusal.Fields[0].Value));
    }

    [Theory]
    [InlineData("ListLots", "studios/oak")]
    [InlineData("ListMixes", "studios/elm")]
    [InlineData("ListLotss", "tudios/elm")]
    [InlineData("ListLots", "studios/elm", "")]
    public void Read_TokenOfAnotherList_IsRefused(params string[] query)
    {
        var token = TokenOf(Paging.Read(1, "", "ListLots", "studios/elm"), "a-1");
        Assert.Equal("a-1", Paging.Read(1, token, "ListLots", "studios/elm").AfterText);
        Assert.Equal(Reasons.PageTokenInvalid, Assert.Throws<Refusal>(() => Paging.Read(1, token, query)).Reason);
    }

    [Theory]
    [InlineData("x")]
    [InlineData("!!!!")]
    [InlineData("AAAA")]
    [InlineData("ä")]
    public void Read_DamagedToken_IsRefused(string token) =>
        Assert.Equal(Reasons.PageTokenInvalid, Assert.Throws<Refusal>(() => Paging.Read(1, token, "ListLots")).Reason);

    [Theory]
    [InlineData(long.MinValue, "")]
    [InlineData(-1, "studios/elm/lots/a-1")]
    [InlineData(1_772_366_400_000, "Länge")]
    [InlineData(long.MaxValue, "x")]
    public void Token_Key_ComesBack(long number, string text)
    {
        var page = Paging.Read(1, "", "ListLots");
        var token = page.Cut([1, 2], _ => new PageKey(number, text)).NextPageToken;
        Assert.Equal(new PageKey(number, text), Paging.Read(1, token, "ListLots").After);
    }

    [Fact]
    public void Cut_LastPage_HasNoToken()
    {
        var page = Paging.Read(2, "", "ListLots");
        Assert.Equal("", page.Cut(["a", "b"], t => t).NextPageToken);
        Assert.Equal("", page.Cut(Array.Empty<string>(), t => t).NextPageToken);
        Assert.NotEqual("", page.Cut(["a", "b", "c"], t => t).NextPageToken);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(100)]
    public async Task Pages_RowsInsertedMeanwhile_GiveEachEarlierRowOnce(int pageSize)
    {
        await using var studio = await TemporaryStudio.StartAsync();
        // Many rows share a text, so the key needs its second half.
        await studio.Writer.WriteAsync(t => t.Execute("INSERT INTO notes (id, text) VALUES (@id, @text)",
            Enumerable.Range(1, 100).Select(i => new { id = 10 * i, text = $"note {i % 5}" })));
        List<Row> seen = [];
        var token = "";
        do
        {
            var page = Paging.Read(pageSize, token, "ListNotes");
            var cut = page.Cut(Rows(studio, page), row => new PageKey(row.Id, row.Text));
            seen.AddRange(cut.Items);
            token = cut.NextPageToken;
            await studio.Writer.WriteAsync(t => t.Execute("INSERT INTO notes (id, text) VALUES (@id, 'note 0')", new { id = 5 + 10 * seen.Count }));
        }
        while (token.Length > 0);
        Assert.Equal(seen.Distinct(), seen);
        Assert.Equal(100, seen.Count(row => row.Id % 10 == 0));
        Assert.Equal(seen.OrderBy(r => r.Text, StringComparer.Ordinal).ThenBy(r => r.Id), seen);
    }

    [Fact]
    public async Task Pages_Descending_GiveEachRowOnce()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        for (var i = 0; i < 10; i++) await studio.NoteAsync($"{i}");
        List<long> seen = [];
        var token = "";
        do
        {
            var page = Paging.Read(3, token, "ListNotes");
            var rows = studio.Reads.Read(r => r.Query<Row>(
                "SELECT id, text FROM notes WHERE id < @before ORDER BY id DESC LIMIT @limit", new { before = page.BeforeNumber, limit = page.Limit }));
            var cut = page.Cut(rows, row => row.Id);
            seen.AddRange(cut.Items.Select(row => row.Id));
            token = cut.NextPageToken;
        }
        while (token.Length > 0);
        Assert.Equal([10, 9, 8, 7, 6, 5, 4, 3, 2, 1], seen);
    }

    private static IReadOnlyList<Row> Rows(TemporaryStudio studio, PageRequest page) => studio.Reads.Read(r => r.Query<Row>(
        """
        SELECT id, text FROM notes WHERE (text, id) > (@AfterText, @AfterNumber) ORDER BY text, id LIMIT @Limit
        """, page));

    private static string TokenOf(PageRequest page, string key) => page.Cut([1, 2], _ => key).NextPageToken;
}
