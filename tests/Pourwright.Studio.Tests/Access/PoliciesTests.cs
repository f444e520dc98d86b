using Google.Protobuf.Reflection;
using Pourwright.Studio.Access;

namespace Pourwright.Studio.Tests.Access;

/// <summary>The table of who may call what, against the protocol.</summary>
public sealed class PoliciesTests
{
    [Fact]
    public void EveryCall_HasItsLine() => Assert.Empty(Calls().Except(Policies.All.Keys));

    [Fact]
    public void EveryLine_IsOfACall() => Assert.Empty(Policies.All.Keys.Where(key => key.StartsWith("/pourwright.", StringComparison.Ordinal)).Except(Calls()));

    [Fact]
    public void EveryFieldThatIsHidden_IsThere()
    {
        var fields = Files().SelectMany(file => file.MessageTypes).SelectMany(message => message.Fields.InDeclarationOrder()).Select(field => field.FullName);
        Assert.Empty(Policies.Fields.Keys.Except(fields));
    }

    [Fact]
    public void NothingOfTheStudio_IsForAnyone() => Assert.DoesNotContain(
        Policies.All.Values, policy => policy.Reach == Reach.Anyone && !policy.Method.StartsWith("/grpc.health.", StringComparison.Ordinal));

    private static IEnumerable<FileDescriptor> Files() => typeof(V1.AccessService).Assembly.GetTypes()
        .Where(type => type.Name.EndsWith("Reflection", StringComparison.Ordinal))
        .Select(type => (FileDescriptor)type.GetProperty("Descriptor")!.GetValue(null)!);

    private static IEnumerable<string> Calls() => Files().SelectMany(file => file.Services).SelectMany(service => service.Methods)
        .Select(method => $"/{method.Service.FullName}/{method.Name}");
}
