using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Refusals;

namespace Pourwright.Faults.Simulation;

/// <summary>A call as its client remembers it: sent until it is answered, sometimes again after that, sometimes with another body.</summary>
internal sealed class ClientCall(string what, DateTimeOffset sent, Func<SimulatedNode, bool, Task<IMessage>> send)
{
    /// <summary>What was done, in a word.</summary>
    public string What => what;

    /// <summary>When it was first sent.</summary>
    public DateTimeOffset Sent => sent;

    /// <summary>The first answer; null while there is none.</summary>
    public IMessage? Answer { get; private set; }

    /// <summary>The reason of a refusal that is for good; null while there is none.</summary>
    public string? Refused { get; private set; }

    public bool IsSettled => Answer is not null || Refused is not null;

    /// <summary>Sends it through a node; the word says how it ended.</summary>
    /// <exception cref="BrokenPromiseException">It ended otherwise than before.</exception>
    public async Task<string> SendAsync(SimulatedNode node)
    {
        try
        {
            return Take(await send(node, false));
        }
        catch (Refusal refusal) when (refusal.Code is not (StatusCode.Unavailable or StatusCode.ResourceExhausted))
        {
            if (Answer is not null) throw new BrokenPromiseException($"{what} was accepted before, and is refused now: {refusal.Reason}");
            Refused = refusal.Reason;
            return refusal.Reason;
        }
    }

    /// <summary>Sends its request id with another body, which must be refused.</summary>
    public async Task<string> AbuseAsync(SimulatedNode node)
    {
        try
        {
            await send(node, true);
        }
        catch (Refusal refusal) when (refusal.Reason == Reasons.RequestIdReused)
        {
            return refusal.Reason;
        }
        throw new BrokenPromiseException($"{what}: its request id was taken with another body.");
    }

    private string Take(IMessage answer)
    {
        if (Answer is not null && !Answer.Equals(answer)) throw new BrokenPromiseException($"{what} is answered otherwise than before: {answer}, not {Answer}");
        Answer = answer;
        return "kept";
    }
}

/// <summary>The studio did not keep what it promises.</summary>
internal sealed class BrokenPromiseException(string what) : Exception(what);
