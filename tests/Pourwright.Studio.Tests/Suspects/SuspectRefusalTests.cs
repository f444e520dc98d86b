using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Tests.Trace;
using Pourwright.Testing;
using Pourwright.V1;
using Bearing = Pourwright.V1.PhysicalStatement.Types.Bearing;
using Kind = Pourwright.V1.Defect.Types.Kind;

namespace Pourwright.Studio.Tests.Suspects;

/// <summary>What is refused, and a story of top-ups: read only.</summary>
public sealed class SuspectRefusalTests(TwoSites story) : IClassFixture<TwoSites>
{
    private const StatusCode Invalid = StatusCode.InvalidArgument;

    private readonly V1.SuspectService.SuspectServiceClient _suspects = new(story.Harness.Channel);

    private sealed record Case(Func<V1.SuspectService.SuspectServiceClient, Task> Ask, StatusCode Code, string Reason, string Field = "");

    private static readonly Dictionary<string, Case> Cases = new()
    {
        ["ranking without a kind"] = new(s => Rank(s, r => r.Kinds.Clear()), Invalid, Reasons.FieldInvalid, "kinds"),
        ["ranking of an unknown kind"] = new(s => Rank(s, r => r.Kinds.Add((Kind)99)), Invalid, Reasons.FieldInvalid, "kinds[1]"),
        ["ranking of the kind not said"] = new(s => Rank(s, r => r.Kinds.Add(Kind.Unspecified)), Invalid, Reasons.FieldInvalid, "kinds[1]"),
        ["ranking of a site of another studio"] = new(s => Rank(s, r => r.Sites.Add("studios/birch/sites/north")), Invalid, Reasons.FieldInvalid, "sites[0]"),
        ["ranking of no site"] = new(s => Rank(s, r => r.Sites.Add("studios/alder/sites/nowhere")), StatusCode.NotFound, Reasons.SiteNotFound),
        ["ranking of no studio"] = new(s => Rank(s, r => r.Parent = "studios/birch"), StatusCode.NotFound, Reasons.StudioNotFound),
        ["ranking of a window that ends first"] = new(s => Rank(s, r => (r.StartTime, r.EndTime) = (TwoSites.At(2), TwoSites.At(1))), Invalid, Reasons.FieldInvalid, "end_time"),
        ["ranking from no instant"] = new(s => Rank(s, r => r.StartTime = new Timestamp { Nanos = -1 }), Invalid, Reasons.FieldInvalid, "start_time"),
        ["evidence of a lot"] = new(s => Evidence(s, TwoSites.Old), Invalid, Reasons.FieldInvalid, "name"),
        ["evidence of no piece"] = new(s => Evidence(s, "studios/alder/pieces/nowhere", Kind.Soft), StatusCode.NotFound, Reasons.PieceNotFound),
        ["evidence of no defect"] = new(s => Evidence(s, "studios/alder/defects/nowhere"), StatusCode.NotFound, Reasons.DefectNotFound),
        ["evidence of a piece without defects"] = new(s => Evidence(s, TwoSites.One), Invalid, Reasons.FieldInvalid, "kind"),
        ["evidence of a defect and a kind"] = new(s => Evidence(s, "studios/alder/defects/some", Kind.Soft), Invalid, Reasons.FieldInvalid, "kind"),
        ["watch of a bench"] = new(s => s.GetSiteWatchAsync(new() { Name = SampleStudio.NorthBench }).ResponseAsync, Invalid, Reasons.FieldInvalid, "name"),
        ["watch of no site"] = new(s => s.GetSiteWatchAsync(new() { Name = "studios/alder/sites/nowhere" }).ResponseAsync, StatusCode.NotFound, Reasons.SiteNotFound),
        ["watch of no studio"] = new(s => s.GetSiteWatchAsync(new() { Name = "studios/birch" }).ResponseAsync, StatusCode.NotFound, Reasons.StudioNotFound),
    };

    public static TheoryData<string> Asked => [.. Cases.Keys];

    [Theory]
    [MemberData(nameof(Asked))]
    public async Task Refused_WithCodeReasonAndField(string asked)
    {
        var (ask, code, reason, field) = Cases[asked];

        var refusal = await Assert.ThrowsAsync<RpcException>(() => ask(_suspects));

        Assert.Equal((code, reason, field), (refusal.StatusCode, refusal.Reason(), refusal.Fields() is [var first, ..] ? first : ""));
    }

    [Fact]
    public async Task GetPieceEvidence_TwoPoursAroundATopUp_HasTheLotsOfBoth()
    {
        var levels = await LevelsAsync(TwoSites.One);

        Assert.Equal(["deep-a-lot", "new-a-lot"], levels[SuspectFactor.LotA]);
        Assert.Equal(["deep-b-lot"], levels[SuspectFactor.LotB]);
        Assert.Equal(["before", "after"], levels[SuspectFactor.Mix]);
        Assert.Equal(["deep-a1", "deep-b1"], levels[SuspectFactor.Container]);
        Assert.Equal(["Ivo", "Ana"], levels[SuspectFactor.Person]);
        Assert.Equal(["north: scale 1"], levels[SuspectFactor.Scale]);
        Assert.Equal(["north/shelf"], levels[SuspectFactor.Bench]);
        Assert.Equal(["2026-02-06"], levels[SuspectFactor.Date]);
    }

    [Fact]
    public async Task GetPieceEvidence_DecantedAfterTheTopUp_HasBothLotsOfTheCanItCameFrom()
    {
        var levels = await LevelsAsync(TwoSites.Three);

        Assert.Equal(["deep-a-lot", "new-a-lot"], levels[SuspectFactor.LotA]);
        Assert.Equal(["jug-a", "jug-b"], levels[SuspectFactor.Container]);
    }

    // The logger was silent for 10 of 24 h: too little to say how cold it was.
    [Fact]
    public async Task GetPieceEvidence_LongGap_StaysUnknown()
    {
        var evidence = await _suspects.GetPieceEvidenceAsync(new() { Name = TwoSites.One, Kind = Kind.Soft });

        Assert.False(evidence.HasConversionRatio);
        Assert.Empty(evidence.Levels.Single(level => level.Factor == SuspectFactor.Temperature).Levels);
        Assert.Contains(evidence.Statements, said => said.Bearing == Bearing.Unknown && said.Factors.Contains(SuspectFactor.ConversionAtDemold));
    }

    private async Task<Dictionary<SuspectFactor, string[]>> LevelsAsync(string piece) =>
        (await _suspects.GetPieceEvidenceAsync(new() { Name = piece, Kind = Kind.Soft })).Levels.ToDictionary(level => level.Factor, level => level.Levels.ToArray());

    private static Task<SuspectRanking> Rank(V1.SuspectService.SuspectServiceClient suspects, Action<RankSuspectsRequest> change)
    {
        var request = new RankSuspectsRequest { Parent = SampleStudio.Name, Kinds = { Kind.Soft } };
        change(request);
        return suspects.RankSuspectsAsync(request).ResponseAsync;
    }

    private static Task<PieceEvidence> Evidence(V1.SuspectService.SuspectServiceClient suspects, string name, Kind kind = Kind.Unspecified) =>
        suspects.GetPieceEvidenceAsync(new() { Name = name, Kind = kind }).ResponseAsync;
}
