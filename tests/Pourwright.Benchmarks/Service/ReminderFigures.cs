using System.Diagnostics;
using Google.Protobuf;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage.Sqlite;
using Pourwright.Testing;

namespace Pourwright.Benchmarks.Service;

/// <summary>A hundred thousand reminders: a look when none is due beside a read by primary key, all due at once beside bare statements, and four who watch beside a bare stream.</summary>
internal static class ReminderFigures
{
    private const int Count = 100_000, Watched = 20_000, Watchers = 4, Looks = 5000, ClaimedTogether = 500;

    public static async Task<Figure[]> MeasureAsync() => [await WatchAsync(), await LookAsync(), await StormAsync()];

    private static async Task<Figure> WatchAsync()
    {
        await using var node = await StartAsync(Watched, state: 2, remindMs: 0);
        await using var echo = await EchoFloor.StartAsync();
        var bytes = (await node.Reminders().ListRemindersAsync(new() { Parent = SampleStudio.Name, PageSize = 1 })).Reminders[0].CalculateSize();
        List<double> ratios = [];
        for (var round = 0; round < 6; round++)
        {
            var bare = await SecondsAsync(() => echo.RepeatAsync(Watched, bytes));
            var watched = await SecondsAsync(() => WatchAllAsync(node));
            Figure.Print($"{Watchers} watchers of {Watched} reminders: {Watchers * Watched / watched:0}/s; bare stream {Watchers * Watched / bare:0}/s");
            if (round > 0) ratios.Add(bare / watched);
        }
        return Figure.AtLeast("p7_watch_by_4_over_bare_stream", ratios.Order().ElementAt(ratios.Count / 2), 0.5);
    }

    private static async Task<Figure> LookAsync()
    {
        await using var node = await StartAsync(Count, state: 1, StudioHarness.Start.AddDays(1).ToUnixTimeMilliseconds());
        var sweep = node.Services.GetRequiredService<DueReminders>();
        double Read() => Load.Milliseconds(() => node.Reads.Read(session => session.Scalar<string>("SELECT subject FROM reminders WHERE name = @name", new { name = Name(77) })));
        double Look() => Load.Milliseconds(() => sweep.RunAsync(CancellationToken.None).GetAwaiter().GetResult());
        for (var i = 0; i < Looks; i++) (_, _) = (Read(), Look());
        var pairs = Enumerable.Range(0, Looks).Select(_ => (Read: Read(), Look: Look())).ToList();
        var (read, look) = (Median(pairs.Select(pair => pair.Read)), Median(pairs.Select(pair => pair.Look)));
        Figure.Print($"{Count} waiting, none due: a look {1000 * look:0.0} us, a read by primary key {1000 * read:0.0} us");
        return Figure.AtMost("p10_look_over_read_by_key", look / read, 3);
    }

    /// <summary>A look among a hundred to a hundred thousand reminders that wait, the one beside the other: what curing pieces have a worker look through.</summary>
    public static async Task<Figure> OverWaitingAsync(double most)
    {
        var nodes = await Task.WhenAll(((int[])[100, 1000, 10_000, Count]).Select(async count => (Count: count, Node: await StartAsync(count, state: 1, StudioHarness.Start.AddDays(1).ToUnixTimeMilliseconds()))));
        var sweeps = nodes.Select(node => (node.Count, Sweep: node.Node.Services.GetRequiredService<DueReminders>(), Ms: new List<double>())).ToArray();
        for (var i = 0; i < 2 * Looks; i++)
            foreach (var (_, sweep, ms) in sweeps)
                ms.Add(Load.Milliseconds(() => sweep.RunAsync(CancellationToken.None).GetAwaiter().GetResult()));
        double[] looks = [.. sweeps.Select(each => Median(each.Ms.Skip(Looks)))];
        foreach (var ((count, _, _), look) in sweeps.Zip(looks)) Figure.Print($"a look among {count} waiting reminders: {1000 * look:0.0} us");
        foreach (var (_, node) in nodes) await node.DisposeAsync();
        return Figure.AtMost("growth_look_largest_over_smallest", looks[^1] / looks[0], most);
    }

    private static async Task<Figure> StormAsync()
    {
        List<double> ratios = [];
        for (var round = 0; round < 3; round++)
        {
            await using StudioHarness swept = await StartAsync(Count, 1, 0), bare = await StartAsync(Count, 1, 0);
            var sweep = swept.Services.GetRequiredService<DueReminders>();
            var (storm, floor) = (await SecondsOfAsync(() => sweep.RunAsync(CancellationToken.None)), SecondsOf(() => ClaimAll(bare.Store.Address)));
            Figure.Print($"{Count} due at once: {storm:0.00} s, bare statements {floor:0.00} s");
            ratios.Add(storm / floor);
        }
        return Figure.AtMost("p11_storm_over_bare_claims", Median(ratios), 2);
    }

    /// <summary>Reads what is due and marks it, 500 in a flushed commit, in the same table with its indexes.</summary>
    private static void ClaimAll(string file)
    {
        using var connection = new SqliteStore(file).OpenWriter();
        using var due = connection.CreateCommand();
        due.CommandText = $"SELECT name FROM reminders WHERE state = 1 AND remind_ms <= 1 ORDER BY remind_ms LIMIT {ClaimedTogether}";
        using var mark = connection.CreateCommand();
        mark.CommandText = "UPDATE reminders SET state = 2, send_ms = 1, send_sequence = @n, escalate_due_ms = 2 WHERE name = @name AND state = 1";
        var (n, name) = (mark.Parameters.AddWithValue("@n", 0L), mark.Parameters.AddWithValue("@name", ""));
        for (long sent = 0; sent < Count;)
        {
            using var commit = connection.BeginTransaction(deferred: false);
            (due.Transaction, mark.Transaction) = (commit, commit);
            List<string> names = [];
            using (var reader = due.ExecuteReader())
                while (reader.Read()) names.Add(reader.GetString(0));
            foreach (var each in names)
            {
                (n.Value, name.Value) = (++sent, each);
                mark.ExecuteNonQuery();
            }
            commit.Commit();
        }
    }

    private static async Task<StudioHarness> StartAsync(int count, int state, long remindMs)
    {
        var node = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(node.Channel);
        await node.Writer.WriteAsync(tx => tx.Execute(
            """
            INSERT INTO reminders (name, studio, site, kind, state, subject, decision, text, recipient_role, safety, remind_ms, send_ms, send_sequence)
            WITH RECURSIVE n (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM n WHERE n < @count)
            SELECT 'studios/alder/reminders/r-' || n, 'studios/alder', @North, 1, @state, 'studios/alder/pieces/p-' || n, 'r-' || n,
                   'It can come out of its mould from 14:20 on.', 3, 1, @remindMs, CASE WHEN @state = 2 THEN 0 END, CASE WHEN @state = 2 THEN n END
              FROM n
            """, new { count, state, remindMs, SampleStudio.North }));
        return node;
    }

    private static async Task WatchAllAsync(StudioHarness node)
    {
        using var call = node.Reminders().WatchReminders(new() { Parent = SampleStudio.Name });
        for (var got = 0; got < Watched; got++)
            if (!await call.ResponseStream.MoveNext(CancellationToken.None)) throw new InvalidOperationException($"The watch ended after {got}.");
    }

    private static Task<double> SecondsAsync(Func<Task> one) => SecondsOfAsync(() => Task.WhenAll(Enumerable.Range(0, Watchers).Select(_ => Task.Run(one))));

    private static async Task<double> SecondsOfAsync(Func<Task> work)
    {
        var began = Stopwatch.GetTimestamp();
        await work();
        return Stopwatch.GetElapsedTime(began).TotalSeconds;
    }

    private static double SecondsOf(Action work) => Load.Milliseconds(work) / 1000;

    private static double Median(IEnumerable<double> values) => values.Order().ToList() is var sorted ? sorted[sorted.Count / 2] : 0;

    private static string Name(int n) => $"studios/alder/reminders/r-{n}";

    private static V1.ReminderService.ReminderServiceClient Reminders(this StudioHarness node) => new(node.Channel);
}
