namespace Pourwright.Studio.Tests.Storage;

public sealed class StudioSessionTests
{
    private enum Basis
    {
        Unspecified,
        Mass,
        Volume,
    }

    private sealed record Row(string Name, int LayerCount, bool IsOpen, Basis Basis, Basis Named, double DepthMm, long? PouredMs, string? Reason);

    [Fact]
    public async Task Query_RecordWithEveryType_IsConverted()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var row = studio.Reads.Read(r => r.Find<Row>(
            """
            SELECT 'p' AS name, 3 AS layer_count, 1 AS is_open, 2 AS basis, 'Mass' AS named, 6.5 AS depth_mm, 5 AS poured_ms, NULL AS reason
            """));
        Assert.Equal(new Row("p", 3, true, Basis.Volume, Basis.Mass, 6.5, 5, null), row);
    }

    [Fact]
    public async Task Query_FirstRowNull_SecondRowIsStillRead()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var rows = studio.Reads.Read(r => r.Query<Nullables>(
            """
            SELECT NULL AS poured_ms, NULL AS reason, NULL AS depth_mm UNION ALL SELECT 5, 'tacky', 6.5
            """));
        Assert.Equal([new Nullables(null, null, null), new Nullables(5, "tacky", 6.5)], rows);
    }

    private sealed record Nullables(long? PouredMs, string? Reason, double? DepthMm);

    [Fact]
    public async Task Find_NoRow_IsNull()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        Assert.Null(studio.Reads.Read(r => r.Find<string>("SELECT text FROM notes")));
        Assert.Null(studio.Reads.Read(r => r.Scalar<long?>("SELECT max(id) FROM notes")));
    }

    [Fact]
    public async Task Query_SameTextOtherArguments_AnswersEach()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        foreach (var text in (string[])["a", "b", "c"]) await studio.NoteAsync(text);
        using var view = studio.Reads.Open();
        const string sql = "SELECT text FROM notes WHERE id = @id";
        Assert.Equal(["a", "b", "c"], Enumerable.Range(1, 3).Select(id => view.Scalar<string>(sql, new { id })));
    }

    [Fact]
    public async Task Query_ListArgument_IsExpandedAnew()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        foreach (var text in (string[])["a", "b", "c"]) await studio.NoteAsync(text);
        using var view = studio.Reads.Open();
        Assert.Equal(["a", "b"], Texts(1, 2));
        Assert.Equal(["c"], Texts(3));
        Assert.Equal(["a", "b", "c"], Texts(1, 2, 3));

        IReadOnlyList<string> Texts(params long[] ids) =>
            view.Query<string>("SELECT text FROM notes WHERE id IN @ids ORDER BY id", new { ids });
    }

    [Fact]
    public async Task Query_StatementThrew_SameTextWorksNextTime()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        const string sql = "INSERT INTO notes (id, text) VALUES (@id, @text)";
        await studio.Writer.WriteAsync(t => t.Execute(sql, new { id = 1, text = "a" }));
        await Assert.ThrowsAnyAsync<Exception>(() => studio.Writer.WriteAsync(t => t.Execute(sql, new { id = 1, text = "again" })));
        await studio.Writer.WriteAsync(t => t.Execute(sql, new { id = 2, text = "b" }));
        Assert.Equal(["a", "b"], studio.Notes());
    }

    [Fact]
    public async Task Execute_ListOfArguments_RunsOnceForEach()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var count = await studio.Writer.WriteAsync(t => t.ExecuteCounted(
            "INSERT INTO notes (text) VALUES (@text)", "abc".Select(c => new { text = $"{c}" })));
        Assert.Equal(3, count);
        Assert.Equal(["a", "b", "c"], studio.Notes());
    }
}
