using System.Security.Cryptography;
using Google.Protobuf;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Access;

/// <summary>What one caller sees of the studio's things: asked of every name in a request and in an answer.</summary>
internal sealed class Scope(Caller caller, ThingSites things, StudioReads reads)
{
    /// <summary>
    /// Milliseconds that a refusal waits at most, as chance will have it. Something of another site is found some 4 us later than nothing is:
    /// against such a spread it takes some twenty million calls to tell, each of them a denial in the audit.
    /// </summary>
    private const int WaitMostMs = 10;

    /// <summary>Names looked up during this call.</summary>
    private readonly Dictionary<string, bool> _known = [];

    /// <summary>Lets a request pass whose every name is the caller's to see.</summary>
    /// <exception cref="Refusal">The NOT_FOUND of the first other one, as if it did not exist; of a key of some sites also where it does not.</exception>
    public async Task CheckAsync(IMessage request, CancellationToken ct)
    {
        if (NamesIn.Message(request).FirstOrDefault(name => !Sees(name, missing: false)) is not { } foreign) return;
        // By the machine's clock, whichever the node lives by: who tries names looks at their own.
        if (caller.IsOfSomeSites) await Task.Delay(TimeSpan.FromMilliseconds(RandomNumberGenerator.GetInt32(WaitMostMs + 1)), TimeProvider.System, ct);
        throw NotFound(foreign).AsDenial();
    }

    /// <param name="name">The thing.</param>
    /// <param name="missing">What holds of a thing that does not exist.</param>
    public bool Sees(string name, bool missing)
    {
        if (caller.IsOfEveryStudio) return true;
        if (ResourceNames.StudioOf(name) != caller.Studio) return false;
        if (!caller.IsOfSomeSites) return true;
        if (!_known.TryGetValue(name, out var sees))
            _known[name] = sees = reads.Read(session => things.Find(session, name)) is { } sites ? caller.Sees(sites) : missing;
        return sees;
    }

    /// <summary>The refusal of the thing, or of the nearest above it that has a name of a known kind.</summary>
    private static Refusal NotFound(string name)
    {
        for (var at = name; at.Length > 0; at = ResourceNames.ParentOf(at))
            if (ResourceKind.All.FirstOrDefault(kind => kind.Matches(at)) is { } kind)
                return kind.NotFound(at);
        return ResourceKind.Studio.NotFound(name);
    }
}
