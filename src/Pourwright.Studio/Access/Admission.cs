using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>Whether a role may make a call at all, whatever it names.</summary>
internal static class Admission
{
    /// <param name="policy">Null for a call of which nothing was said: nobody may make it.</param>
    /// <exception cref="Refusal">NOT_ALLOWED.</exception>
    public static void Decide(Caller caller, Policy? policy, string method)
    {
        if (policy is { From: Role.Student } && !policy.Allows(caller.Role))
            throw NotAllowed(caller, method, "student", "What students read is read by the link that they were given.");
        if (policy is null || !policy.Allows(caller.Role))
            throw NotAllowed(caller, method, policy is null ? "nobody" : $"{policy.From}".ToLowerInvariant(), "Ask somebody whose key has that role or a higher one.");
        if (policy.Reach == Reach.Node && !caller.IsOfEveryStudio)
            throw NotAllowed(caller, method, "owner of the node", "The node itself gives such a key: start it with the word owner-key.");
        if (policy.Reach == Reach.Studio && caller.IsOfSomeSites)
            throw NotAllowed(caller, method, $"{policy.From} of the whole studio".ToLowerInvariant(), "This key is good for some of its sites, and the answer is about all of them.");
    }

    /// <param name="method">The call, with its path or without.</param>
    internal static Refusal NotAllowed(Caller caller, string method, string needed, string wayOut)
    {
        var (call, role) = (method[(method.LastIndexOf('/') + 1)..], $"{caller.Role}".ToLowerInvariant());
        return Refusal.NotAllowed($"{call} takes a key of role {needed}; this one is of role {role}. {wayOut}", ("call", call), ("needed", needed), ("role", role));
    }
}
