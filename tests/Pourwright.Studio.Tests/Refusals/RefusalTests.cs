using System.Reflection;
using System.Text.RegularExpressions;
using Google.Protobuf.WellKnownTypes;
using Google.Rpc;
using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Tests.Refusals;

public sealed class RefusalTests
{
    private static readonly string[] All =
        [.. typeof(Reasons).GetFields(BindingFlags.Public | BindingFlags.Static).Select(f => (string)f.GetRawConstantValue()!)];

    /// <summary>One of each kind of refusal.</summary>
    public static TheoryData<Refusal> Each =>
    [
        Refusal.NotFound(Reasons.LotNotFound, "Lot", "studios/elm/lots/a-1"),
        ResourceKind.Bench.AlreadyExists("studios/elm/sites/north/benches/b-1"),
        Refusal.Precondition(Reasons.ContainerShort, "can-7 holds 4000 mg, 5000 mg were drawn.", ("container", "can-7"), ("held_mg", "4000"), ("drawn_mg", "5000")),
        Refusal.Invalid("mix.draws[0].mass_mg", "-5", "must be 1 to 10 mg."),
        Refusal.RequestIdReused("5c0f1f0e-6a3e-4d1b-9d0e-0c6f2b7a9e11"),
        Refusal.PageTokenInvalid("xyz"),
        Refusal.EtagStale("studios/elm/sites/north", "1", "2"),
        Refusal.StoreFull(),
        Refusal.StoreUnavailable(),
    ];

    [Fact]
    public void Reasons_All_AreUpperSnakeAndUnique()
    {
        Assert.All(All, reason => Assert.Matches("^[A-Z]+(_[A-Z]+)+$", reason));
        Assert.Equal(All.Distinct(), All);
    }

    [Theory]
    [MemberData(nameof(Each))]
    public void ToRpcException_AnyRefusal_CarriesErrorInfoAndNoDetailTwice(Refusal refusal)
    {
        var exception = refusal.ToRpcException();
        var status = exception.GetRpcStatus()!;
        var info = status.GetDetail<ErrorInfo>();
        Assert.Equal((refusal.Code, refusal.Message), (exception.StatusCode, exception.Status.Detail));
        Assert.Equal(("pourwright", refusal.Reason), (info.Domain, info.Reason));
        Assert.Contains(refusal.Reason, All);
        Assert.Equal(status.Details.Select(d => d.TypeUrl).Distinct(), status.Details.Select(d => d.TypeUrl));
    }

    [Theory]
    [MemberData(nameof(Each))]
    public void Facts_AnyRefusal_HoldEveryQuotedValueOfTheMessage(Refusal refusal)
    {
        var quoted = Regex.Matches(refusal.Message, "'([^']*)'").Select(m => m.Groups[1].Value);
        Assert.All(quoted, value => Assert.Contains(value, refusal.Facts.Values));
        // The form of a key: google/rpc/error_details.proto, ErrorInfo.metadata.
        Assert.All(refusal.Facts.Keys, key => Assert.Matches("^[a-z][a-zA-Z0-9-_]{0,63}$", key));
    }

    [Fact]
    public void NotFound_Lot_NamesTheResource()
    {
        var info = Detail<ResourceInfo>(Refusal.NotFound(Reasons.LotNotFound, "Lot", "studios/elm/lots/a-1"));
        Assert.Equal(("pourwright/Lot", "studios/elm/lots/a-1"), (info.ResourceType, info.ResourceName));
    }

    [Fact]
    public void Precondition_Container_NamesReasonAndSubject()
    {
        var violation = Assert.Single(Detail<PreconditionFailure>(
            Refusal.Precondition(Reasons.ContainerHeld, "held", ("container", "can-7"))).Violations);
        Assert.Equal((Reasons.ContainerHeld, "can-7", "held"), (violation.Type, violation.Subject, violation.Description));
    }

    [Fact]
    public void Invalid_NestedField_KeepsItsPathAndMakesAPlainKey()
    {
        var refusal = Refusal.Invalid("mix.draws[0].mass_mg", "-5", "must be 1 to 10 mg.");
        var violation = Assert.Single(Detail<BadRequest>(refusal).FieldViolations);
        Assert.Equal(("mix.draws[0].mass_mg", "must be 1 to 10 mg."), (violation.Field, violation.Description));
        Assert.Equal("-5", refusal.Facts["mix_draws_0_mass_mg"]);
        Assert.Equal("mix.draws[0].mass_mg '-5' must be 1 to 10 mg.", refusal.Message);
    }

    [Fact]
    public void StoreUnavailable_Client_IsToldWhenToRetry() =>
        Assert.Equal(Duration.FromTimeSpan(TimeSpan.FromSeconds(1)), Detail<RetryInfo>(Refusal.StoreUnavailable()).RetryDelay);

    [Fact]
    public void StoreFull_Client_IsNotToldToRetryByItself() =>
        Assert.Null(Refusal.StoreFull().ToRpcException().GetRpcStatus()!.GetDetail<RetryInfo>());

    private static T Detail<T>(Refusal refusal) where T : class, Google.Protobuf.IMessage<T>, new() =>
        refusal.ToRpcException().GetRpcStatus()!.GetDetail<T>();
}
