using System.Diagnostics;
using Grpc.Core;
using Grpc.Net.Client;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Pourwright.Benchmarks.Service;
using Pourwright.Host;
using Pourwright.Studio.Access;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Sqlite;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using V1 = Pourwright.V1;

namespace Pourwright.Benchmarks;

/// <summary>The walks of a trace among a million mixes: backward in the store, forward over the wire beside the bare query, long lists.</summary>
/// <remarks>Bare is the same query on a connection of its own, prepared, every column read: what the database alone takes.</remarks>
internal static class TraceBenchmark
{
    private const double BackwardMs = 1, ForwardRatio = 1.5, WholeMs = 1000, ListSeconds = 10;
    private const int PiecesBack = 5000, PiecesWhole = 100, LotsForward = 40, Rounds = 5;

    public static async Task<int> RunAsync(string[] options)
    {
        var mixes = Option.Of(options, "--mixes", 1_000_000);
        var file = Array.IndexOf(options, "--file") is var at and >= 0 ? options[at + 1] : Path.Combine(Path.GetTempPath(), $"pourwright-trace-{Guid.NewGuid():N}.db");
        try
        {
            if (!File.Exists(file)) Invent(file, mixes);
            return Figure.Report([Backward(file), .. await OverTheWireAsync(file)]);
        }
        finally
        {
            if (!options.Contains("--file")) Delete(file);
        }
    }

    private static void Invent(string file, int mixes)
    {
        var started = Stopwatch.GetTimestamp();
        var pieces = InventedRecords.Write(file, mixes);
        Figure.Print($"{mixes} mixes in {pieces} pieces written in {Stopwatch.GetElapsedTime(started).TotalSeconds:0} s, {new FileInfo(file).Length / 1e6:0} MB");
    }

    private static Figure Backward(string file)
    {
        using var reads = new StudioReads(new SqliteStore(file));
        var (random, pieces) = (new Random(1), Count(file, "pieces"));
        string Any() => $"{InventedRecords.Studio}/pieces/pc-{random.NextInt64(pieces):0000000}";
        for (var i = 0; i < 500; i++) reads.Read(session => WalkStore.Origins(session, Any()));
        double[] ms = [.. Enumerable.Range(0, PiecesBack).Select(_ => Any()).Select(piece => Ms(() => reads.Read(session => WalkStore.Origins(session, piece)))).Order()];
        Figure.Print($"backward, {PiecesBack} pieces: p50 {ms[PiecesBack / 2]:0.000} ms, p99 {ms[PiecesBack * 99 / 100]:0.000} ms, worst {ms[^1]:0.00} ms");
        return Figure.AtMost("trace_backward_p99_ms", ms[PiecesBack * 99 / 100], BackwardMs);
    }

    private static async Task<Figure[]> OverTheWireAsync(string file)
    {
        await using var app = StudioHost.Build([$"--Node:Database={file}", "--Node:GrpcPort=0", "--Node:HttpPort=0", "--Node:Roles=api", "--Limits:CallsPerSecond=0"], builder => builder.Logging.ClearProviders());
        await app.StartAsync();
        using var channel = KeyedChannel.Open(
            app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First(),
            await app.Services.GetRequiredService<OwnerKeys>().IssueAsync(), 64 << 20);
        var traces = new V1.TraceService.TraceServiceClient(channel);
        Figure[] figures = [await BackwardAsync(file, traces), await ForwardAsync(file, traces), await WholeAsync(file, traces), await LongListAsync(traces), .. await RecallAsync(new(channel))];
        await app.StopAsync();
        return figures;
    }

    /// <summary>Over the wire, beside a bare echo and the walk in the store, one after the other.</summary>
    private static async Task<Figure> BackwardAsync(string file, V1.TraceService.TraceServiceClient traces)
    {
        await using var echo = await EchoFloor.StartAsync();
        using var reads = new StudioReads(new SqliteStore(file));
        var (random, pieces) = (new Random(4), Count(file, "pieces"));
        List<double> said = [], walked = [], asked = [];
        for (var i = -500; i < PiecesBack; i++)
        {
            var piece = $"{InventedRecords.Studio}/pieces/pc-{random.NextInt64(pieces):0000000}";
            var (say, walk) = (await MsAsync(() => echo.SayAsync(new byte[64])), Ms(() => reads.Read(session => WalkStore.Origins(session, piece))));
            var ask = await MsAsync(() => traces.TraceOriginsAsync(new() { Name = piece }).ResponseAsync);
            if (i < 0) continue;
            said.Add(say);
            walked.Add(walk);
            asked.Add(ask);
        }
        Figure.Print($"backward over the wire, {PiecesBack} pieces: p50 {Median(asked):0.00} ms; bare echo {Median(said):0.00} ms, walk {Median(walked):0.00} ms");
        return Figure.AtMost("p9_trace_backward_over_echo_and_query", Median(asked) / (Median(said) + Median(walked)), 2);
    }

    private static async Task<Figure> ForwardAsync(string file, V1.TraceService.TraceServiceClient traces)
    {
        using var connection = new SqliteStore(file).OpenReader();
        var random = new Random(2);
        List<double> bare = [], wire = [];
        var last = Count(file, "lots") / 2;
        string[] lots = [.. Enumerable.Range(0, LotsForward).Select(_ => $"{InventedRecords.Studio}/lots/{(random.Next(2) == 0 ? "a" : "b")}-{random.NextInt64(1, last):000}")];
        for (var round = -1; round < Rounds; round++)
            foreach (var lot in lots)
            {
                var (rows, bareMs) = Bare(connection, lot);
                var started = Stopwatch.GetTimestamp();
                var pieces = await ReachedAsync(traces, lot);
                if (round >= 0) (bare, wire) = ([.. bare, bareMs], [.. wire, Stopwatch.GetElapsedTime(started).TotalMilliseconds]);
                if (pieces != rows) throw new InvalidOperationException($"{lot}: {rows} rows, {pieces} pieces.");
            }
        Figure.Print($"forward, 5,000 pieces of {LotsForward} lots, {Rounds} rounds: bare p50 {Median(bare):0.0} ms, over the wire p50 {Median(wire):0.0} ms, p99 {wire.Order().ElementAt(wire.Count * 99 / 100):0.0} ms");
        return Figure.AtMost("p8_trace_forward_over_bare_query", Median(wire) / Median(bare), ForwardRatio);
    }

    private static async Task<Figure> WholeAsync(string file, V1.TraceService.TraceServiceClient traces)
    {
        var (random, pieces) = (new Random(3), Count(file, "pieces"));
        List<double> ms = [];
        for (var i = -5; i < PiecesWhole; i++)
        {
            var started = Stopwatch.GetTimestamp();
            await traces.TracePieceAsync(new() { Name = $"{InventedRecords.Studio}/pieces/pc-{random.NextInt64(pieces):0000000}" });
            if (i >= 0) ms.Add(Stopwatch.GetElapsedTime(started).TotalMilliseconds);
        }
        Figure.Print($"whole trace of a piece with its sisters, {PiecesWhole} pieces: p50 {Median(ms):0} ms, worst {ms.Max():0} ms");
        return Figure.AtMost("trace_of_a_piece_p99_ms", ms.Order().ElementAt(PiecesWhole * 99 / 100), WholeMs);
    }

    private static (int Rows, double Ms) Bare(SqliteConnection connection, string lot)
    {
        using var command = connection.CreateCommand();
        command.CommandText = WalkStore.QueryFrom(lot);
        command.Parameters.AddWithValue("@name", lot);
        command.Prepare();
        var (started, rows) = (Stopwatch.GetTimestamp(), 0);
        using var reader = command.ExecuteReader();
        var row = new object[reader.FieldCount];
        while (reader.Read()) rows += reader.GetValues(row) > 0 ? 1 : 0;
        return (rows, Stopwatch.GetElapsedTime(started).TotalMilliseconds);
    }

    private static async Task<Figure> LongListAsync(V1.TraceService.TraceServiceClient traces)
    {
        var lot = $"{InventedRecords.Studio}/lots/a-{InventedRecords.LargeLot}";
        var started = Stopwatch.GetTimestamp();
        var page = await traces.PrintTraceAsync(new() { Name = lot, Format = PrintTraceRequest.Types.Format.Text });
        var seconds = Stopwatch.GetElapsedTime(started).TotalSeconds;
        Figure.Print($"printed trace of a lot in {await ReachedAsync(traces, lot)} pieces: {seconds:0.0} s, {page.Data.Length / 1e6:0.0} MB");
        return Figure.AtMost("trace_list_of_10000_pieces_seconds", seconds, ListSeconds);
    }

    /// <summary>A drill with its reconciliations is kept; a recall is asked only, so that nothing stays held in a file that is used again.</summary>
    private static async Task<Figure[]> RecallAsync(V1.RecallService.RecallServiceClient recalls)
    {
        var scope = new RecallScope { Name = $"{InventedRecords.Studio}/lots/a-{InventedRecords.LargeLot}" };
        var started = Stopwatch.GetTimestamp();
        var drill = await recalls.StartDrillAsync(new() { Parent = InventedRecords.Studio, Scope = scope, Starter = "benchmark" });
        var drillSeconds = Stopwatch.GetElapsedTime(started).TotalSeconds;
        started = Stopwatch.GetTimestamp();
        var recall = await recalls.StartRecallAsync(new() { Parent = InventedRecords.Studio, Scope = scope, Reason = "benchmark", Starter = "benchmark", ValidateOnly = true });
        var recallSeconds = Stopwatch.GetElapsedTime(started).TotalSeconds;
        var listSeconds = (drill.Status.ListTime - drill.Status.StartTime).ToTimeSpan().TotalSeconds;
        Figure.Print($"drill of a lot in {drill.List.Pieces.Count} pieces, {drill.DrillProof.Reconciliations.Count} masses: list {listSeconds:0.0} s, all {drillSeconds:0.0} s, {drill.CalculateSize() / 1e6:0.0} MB; recall that tells {recall.Notices.Count} persons: {recallSeconds:0.0} s");
        return [Figure.AtMost("drill_list_of_10000_pieces_seconds", listSeconds, ListSeconds), Figure.AtMost("recall_of_10000_pieces_seconds", recallSeconds, ListSeconds)];
    }

    private static async Task<int> ReachedAsync(V1.TraceService.TraceServiceClient traces, string lot)
    {
        var pieces = 0;
        using var call = traces.TraceReached(new() { Name = lot });
        await foreach (var part in call.ResponseStream.ReadAllAsync()) pieces += part.Pieces.Count;
        return pieces;
    }

    private static long Count(string file, string table)
    {
        using var reads = new StudioReads(new SqliteStore(file));
        return reads.Read(session => session.Scalar<long>($"SELECT count(*) FROM {table}"));
    }

    private static double Ms(Action work)
    {
        var started = Stopwatch.GetTimestamp();
        work();
        return Stopwatch.GetElapsedTime(started).TotalMilliseconds;
    }

    private static async Task<double> MsAsync(Func<Task> call)
    {
        var started = Stopwatch.GetTimestamp();
        await call();
        return Stopwatch.GetElapsedTime(started).TotalMilliseconds;
    }

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);

    private static void Delete(string file)
    {
        foreach (var ending in (string[])["", "-wal", "-shm"]) File.Delete(file + ending);
    }
}
