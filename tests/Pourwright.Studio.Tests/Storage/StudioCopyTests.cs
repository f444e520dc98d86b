using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Copying;
using Pourwright.Studio.Storage.Sqlite;
using Pourwright.Studio.Tests.Forecasts;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Storage;

public sealed class StudioCopyTests
{
    [ServerFact]
    public async Task Run_FileToServerAndBack_EveryTableIsAsItWas_AndTheNumbersGoOn()
    {
        using TestStore first = TestStore.OnFile(), between = TestStore.OnServer(), last = TestStore.OnFile();
        await FillAsync(first);
        var before = first.Rows();
        using StudioStore from = first.Open(), server = between.Open(), back = last.Open();

        var there = StudioCopy.Run(from, server);
        var again = StudioCopy.Run(server, back);

        Assert.Equal(there, again);
        Assert.True(there.Count(table => table.RowCount > 0) > 12, string.Join(", ", there));
        Assert.Equal(before, first.Rows());
        Assert.Equal(Records(before), Records(last.Rows()));
        Assert.Equal(Records(before), Records(between.Rows()));
        Assert.Equal(Numbers(before), Numbers(last.Rows()));
    }

    [ServerFact]
    public async Task Run_TargetHasRows_IsRefusedAndNothingIsAdded()
    {
        using TestStore first = TestStore.OnFile(), second = TestStore.OnServer();
        await FillAsync(first);
        using StudioStore from = first.Open(), to = second.Open();
        StudioCopy.Run(from, to);
        var before = second.Rows();

        var refusal = Assert.Throws<InvalidOperationException>(() => StudioCopy.Run(from, to));

        Assert.Contains("is not empty", refusal.Message);
        Assert.Equal(before, second.Rows());
    }

    [ServerFact]
    public async Task Run_TextHoldsWhatTheServerCannotKeep_IsRefusedAndNothingIsKept()
    {
        using TestStore first = TestStore.OnFile(), second = TestStore.OnServer();
        await FillAsync(first);
        using StudioStore from = first.Open(), to = second.Open();
        using (var file = ((SqliteStore)from).OpenWriter())
        {
            using var update = file.CreateCommand();
            update.CommandText = "UPDATE studios SET display_name = 'Al' || char(0) || 'der'";
            update.ExecuteNonQuery();
        }
        var before = second.Rows();

        var refusal = Assert.Throws<InvalidOperationException>(() => StudioCopy.Run(from, to));

        Assert.Contains("studios", refusal.Message);
        Assert.Contains("Al\\0der", refusal.Message);
        Assert.Equal(before, second.Rows());
    }

    /// <summary>A studio with lots, a pour, its forecast and reminders.</summary>
    private static async Task FillAsync(TestStore store)
    {
        await using var desk = await CastingDesk.StartAsync(store);
        await SampleTeaching.CreateAsync(desk.Harness.Channel);
        await desk.PourAndSettleAsync();
    }

    /// <summary>Without the names of the scripts, which say of which store they are, and the place where a file counts.</summary>
    private static IEnumerable<string> Records(IReadOnlyList<string> rows) => rows.Where(row =>
        !row.StartsWith("schemaversions:", StringComparison.OrdinalIgnoreCase) && !row.StartsWith("sqlite_sequence:", StringComparison.Ordinal));

    /// <summary>Where each table's numbers have come to. A file says 0 of a table into which a statement put no row; nothing goes on from there.</summary>
    private static IEnumerable<string> Numbers(IReadOnlyList<string> rows) => rows.Where(row =>
        row.StartsWith("sqlite_sequence:", StringComparison.Ordinal) && !row.Contains("SchemaVersions", StringComparison.Ordinal)
        && !row.EndsWith("| 0", StringComparison.Ordinal));
}
