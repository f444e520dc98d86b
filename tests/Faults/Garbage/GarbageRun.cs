using Google.Protobuf;
using Grpc.Core;

namespace Pourwright.Faults.Garbage;

/// <summary>Spoilt messages and what became of them.</summary>
/// <param name="calls">With the key of the node's owner, for whom no name is looked at before the handler.</param>
/// <param name="callsOfNorth">With a key of one site.</param>
internal sealed class GarbageRun(CallInvoker calls, CallInvoker callsOfNorth)
{
    private const int KeyOfNorthOneIn = 4, SlowTries = 5;

    private const double SlowSeconds = 1;

    /// <summary>Programs that may wait for each core while this runs, before a call that only waits is called slow.</summary>
    private const double BusyMost = 20;

    public int Accepted { get; private set; }

    public int Crashes { get; private set; }

    /// <summary>A line for each answer without a reason.</summary>
    public List<string> Wordless { get; } = [];

    /// <summary>A line for each call that takes more than <see cref="SlowSeconds"/>.</summary>
    public List<string> Slow { get; } = [];

    /// <summary>Fonts, solver and code are loaded when they are first used, which is nobody's garbage.</summary>
    public async Task WarmUpAsync()
    {
        for (var seed = 0; seed < AnyMethod.All.Count; seed++)
            await AnyMethod.All[seed].SendAsync(calls, SeedMessages.Of(AnyMethod.All[seed].Descriptor, new(seed)).ToByteArray());
    }

    /// <summary>Sends the messages of so many seeds from the first on, so many of them at once, and notes their answers in the order of seeds.</summary>
    public async Task SendAsync(int first, int count, int atOnce)
    {
        var answers = new GarbageAnswer[count];
        await Parallel.ForEachAsync(Enumerable.Range(0, count), new ParallelOptions { MaxDegreeOfParallelism = atOnce }, async (i, _) =>
        {
            var garbage = Garbage(first + i);
            answers[i] = await garbage.Method.SendAsync(garbage.Calls, garbage.Message);
        });
        for (var i = 0; i < count; i++) await NoteAsync(first + i, answers[i]);
    }

    private (AnyMethod Method, CallInvoker Calls, byte[] Message) Garbage(int seed)
    {
        var random = new Random(seed);
        var method = AnyMethod.All[random.Next(AnyMethod.All.Count)];
        var message = Mutations.Of(SeedMessages.Of(method.Descriptor, random), random);
        return (method, random.Next(KeyOfNorthOneIn) == 0 ? callsOfNorth : calls, message);
    }

    private async Task NoteAsync(int seed, GarbageAnswer answer)
    {
        var garbage = Garbage(seed);
        if (answer.Code == StatusCode.OK) Accepted++;
        if (answer.IsCrash) Crashes++;
        if (!answer.HasWord) Wordless.Add($"{seed} {garbage.Method.Path}: {answer.Code} {answer.Reason} {answer.Text}");
        if (garbage.Method.IsUnary && answer.Took.TotalSeconds > SlowSeconds && await LeastSecondsAsync(garbage.Method, garbage.Message) is > SlowSeconds and var seconds)
            Slow.Add($"{seed} {garbage.Method.Path}: {answer.Code} after {seconds:0.0} s");
    }

    /// <summary>Seconds that a call takes by itself: of the processor, or waited though nobody else was at work. The least of a few tries.</summary>
    private async Task<double> LeastSecondsAsync(AnyMethod method, byte[] message)
    {
        var least = double.PositiveInfinity;
        for (var again = 0; again < SlowTries && least > SlowSeconds; again++)
        {
            var before = Environment.CpuUsage.TotalTime;
            var waited = (await method.SendAsync(calls, message)).Took;
            least = Math.Min(least, Math.Max((Environment.CpuUsage.TotalTime - before).TotalSeconds, waited.TotalSeconds / BusyMost));
        }
        return least;
    }
}
