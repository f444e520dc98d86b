using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Tests.Sites;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.V1.Offering.Types;
using Sample = Pourwright.Testing.SampleStudio;

namespace Pourwright.Studio.Tests.Offerings;

public sealed class OfferingServiceTests(TeachingStudio studio) : IClassFixture<TeachingStudio>
{
    [Fact]
    public async Task CreateOffering_EveryFieldSet_ReadsBackAsItWasSent()
    {
        var offering = new Offering
        {
            DisplayName = "River table",
            ResinSystem = Sample.Deep,
            DepthMm = 60,
            LengthMm = 1200,
            WidthMm = 500,
            WoodShareRatio = 0.07,
            ChannelWidthMm = 180,
            Layers = { new Layer { DepthMm = 35 }, new Layer { DepthMm = 25, PourOffset = Duration.FromTimeSpan(TimeSpan.FromHours(20)) } },
            StudentPieceCount = 2,
            SeatCount = 4,
            PourDuration = SampleTeaching.Minutes(300),
            MachineDuration = SampleTeaching.Minutes(480),
            PlanerDuration = SampleTeaching.Minutes(25),
            SawDuration = SampleTeaching.Minutes(0),
            LongestGapDays = 35,
            Finish = new() { SessionDuration = SampleTeaching.Minutes(90), Wait = Duration.FromTimeSpan(TimeSpan.FromHours(14)), WithinDays = 10 },
            SealCoatGPerM2 = 200,
            SealCoatResinSystem = Sample.Coat,
            LossShareRatio = 0.15,
            MouldPrepDays = 2,
        };

        var created = await studio.Offerings.CreateOfferingAsync(new() { Parent = Sample.Name, OfferingId = "river-full", Offering = offering });

        (offering.Name, offering.Etag) = ("studios/alder/offerings/river-full", created.Etag);
        Assert.Equal(offering, created);
        Assert.Equal(offering, await studio.Offerings.GetOfferingAsync(new() { Name = offering.Name }));
        Assert.Contains(offering, (await studio.Offerings.ListOfferingsAsync(new() { Parent = Sample.Name })).Offerings);
    }

    [Fact]
    public async Task CreateOffering_LittleSaid_TakesTheDefaults()
    {
        var created = await studio.Offerings.CreateOfferingAsync(new() { Parent = Sample.Name, Offering = SampleTeaching.TrayOffering() });

        Assert.Equal((1, 21, 1), (created.StudentPieceCount, created.LongestGapDays, created.MouldPrepDays));
        Assert.Equal((240.0, 420.0, 10.0, 5.0), (Minutes(created.PourDuration), Minutes(created.MachineDuration), Minutes(created.PlanerDuration), Minutes(created.SawDuration)));
        Assert.Equal((150, 0.12, ""), (created.SealCoatGPerM2, created.LossShareRatio, created.SealCoatResinSystem));
        Assert.Null(created.Finish);
        Assert.False(created.HasChannelWidthMm);
    }

    [Fact]
    public async Task UpdateOffering_WithoutMask_ChangesWhatIsSet()
    {
        var before = await MakeAsync("to-change");

        var after = await studio.Offerings.UpdateOfferingAsync(new()
        {
            Offering = new() { Name = before.Name, SeatCount = 6, Finish = new() { SessionDuration = SampleTeaching.Minutes(60), Wait = new(), WithinDays = 3 }, Etag = before.Etag },
        });

        Assert.Equal((6, 3, before.DepthMm), (after.SeatCount, after.Finish.WithinDays, after.DepthMm));
        Assert.NotEqual(before.Etag, after.Etag);
    }

    [Fact]
    public async Task UpdateOffering_WithMaskAndNothing_TakesTheFinishAway()
    {
        var before = await MakeAsync("to-shorten", o => o.Finish = new() { SessionDuration = SampleTeaching.Minutes(60), Wait = new(), WithinDays = 3 });

        var after = await studio.Offerings.UpdateOfferingAsync(new() { Offering = new() { Name = before.Name }, UpdateMask = FieldMask.FromString("finish") });

        Assert.NotNull(before.Finish);
        Assert.Null(after.Finish);
    }

    // The deep system is poured at most 40 mm deep: 90 mm want ⌈90 / 40⌉ = 3 layers.
    [Fact]
    public async Task CreateOffering_DeeperThanTheResinMayBePoured_SaysHowManyLayers()
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(() => MakeAsync("too-deep", o => o.DepthMm = 90));

        Assert.Equal((StatusCode.FailedPrecondition, "DEPTH_OVER_LIMIT", "3"), (refusal.StatusCode, refusal.Reason(), refusal.Facts()["layer_count"]));
        Assert.Contains("at least 3 layers", refusal.Status.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public async Task CreateOffering_AsDeepInLayers_MayBe()
    {
        var made = await MakeAsync("deep-in-layers", o =>
        {
            o.DepthMm = 80;
            o.Layers.Add([new Layer { DepthMm = 40 }, new Layer { DepthMm = 40, PourOffset = Duration.FromTimeSpan(TimeSpan.FromHours(24)) }]);
        });

        var pours = studio.Harness.Reads.Read(session => OfferingStore.GetOffering(session, made.Name)).Pours();

        // 24 h are 86,400,000 ms.
        Assert.Equal([new(40, 0), new(40, 86_400_000)], pours);
    }

    [Fact]
    public void Pours_OfNoLayers_AreTheWholeDepthAtOnce() => Assert.Equal(
        [new(30, 0)], studio.Harness.Reads.Read(session => OfferingStore.GetOffering(session, SampleTeaching.Tray)).Pours());

    private static readonly Dictionary<string, Refused> Table = new()
    {
        ["offering that says nothing"] = Refused.Invalid(s => Create(s, null), "offering.display_name,offering.resin_system,offering.depth_mm,offering.length_mm,offering.width_mm,offering.seat_count"),
        ["offering of an unknown studio"] = Refused.NotFound(s => s.Offerings.CreateOfferingAsync(new() { Parent = "studios/nobody", Offering = SampleTeaching.TrayOffering() }).ResponseAsync, "STUDIO_NOT_FOUND"),
        ["offering whose id is taken"] = Refused.Exists(s => Create(s, SampleTeaching.TrayOffering(), "tray"), "OFFERING_EXISTS"),
        ["offering of an unknown resin"] = Refused.NotFound(s => Create(s, Tray(o => o.ResinSystem = "studios/alder/resinSystems/none")), "RESIN_SYSTEM_NOT_FOUND"),
        ["offering sealed with an unknown resin"] = Refused.NotFound(s => Create(s, Tray(o => o.SealCoatResinSystem = "studios/alder/resinSystems/none")), "RESIN_SYSTEM_NOT_FOUND"),
        ["offering deeper than its resin may be poured"] = new(s => Create(s, Tray(o => o.DepthMm = 40.1)), StatusCode.FailedPrecondition, "DEPTH_OVER_LIMIT"),
        ["offering of a resin that only warns, too deep"] = new(s => Create(s, Tray(o => o.ResinSystem = Sample.Coat)), StatusCode.FailedPrecondition, "DEPTH_OVER_LIMIT"),
        ["offering with one layer too deep"] = new(s => Create(s, Tray(o => Layered(o, 41, 9))), StatusCode.FailedPrecondition, "DEPTH_OVER_LIMIT"),
        ["unknown offering"] = Refused.NotFound(s => s.Offerings.GetOfferingAsync(new() { Name = "studios/alder/offerings/none" }).ResponseAsync, "OFFERING_NOT_FOUND"),
        ["unknown offering changed"] = Refused.NotFound(s => Update(s, new() { Name = "studios/alder/offerings/none", SeatCount = 3 }), "OFFERING_NOT_FOUND"),
        ["offering as somebody read it before"] = Refused.Stale(s => Update(s, new() { Name = SampleTeaching.Tray, SeatCount = 3, Etag = "old" })),
        ["offering made too deep"] = new(s => Update(s, new() { Name = SampleTeaching.Tray, DepthMm = 41 }), StatusCode.FailedPrecondition, "DEPTH_OVER_LIMIT"),
        ["offering that loses its name"] = Refused.Invalid(s => Update(s, new() { Name = SampleTeaching.Tray }, "display_name"), "offering.display_name"),
        ["offering with another etag by mask"] = Refused.Invalid(s => Update(s, new() { Name = SampleTeaching.Tray }, "etag"), "update_mask"),
        ["offerings of an unknown studio"] = Refused.NotFound(s => s.Offerings.ListOfferingsAsync(new() { Parent = "studios/nobody" }).ResponseAsync, "STUDIO_NOT_FOUND"),
    };

    public static TheoryData<string> Claims => [.. Table.Keys];

    [Theory, MemberData(nameof(Claims))]
    public Task Request_ThatMayNotBe_IsRefusedWithItsReasonAndKeepsNothing(string claim) => Table[claim].HoldsAsync(studio);

    private static double Minutes(Duration duration) => duration.ToTimeSpan().TotalMinutes;

    private async Task<Offering> MakeAsync(string id, Action<Offering>? change = null) =>
        await studio.Offerings.CreateOfferingAsync(new() { Parent = Sample.Name, OfferingId = id, Offering = Tray(change ?? (_ => { })) });

    private static Offering Tray(Action<Offering> change)
    {
        var offering = SampleTeaching.TrayOffering();
        change(offering);
        return offering;
    }

    private static void Layered(Offering offering, double firstMm, double secondMm)
    {
        offering.DepthMm = firstMm + secondMm;
        offering.Layers.Add([new Layer { DepthMm = firstMm }, new Layer { DepthMm = secondMm, PourOffset = SampleTeaching.Minutes(600) }]);
    }

    private static Task<Offering> Create(TeachingStudio s, Offering? offering, string id = "") =>
        s.Offerings.CreateOfferingAsync(new() { Parent = Sample.Name, OfferingId = id, Offering = offering }).ResponseAsync;

    private static Task<Offering> Update(TeachingStudio s, Offering offering, string? mask = null) => s.Offerings.UpdateOfferingAsync(
        new() { Offering = offering, UpdateMask = mask is null ? null : FieldMask.FromString(mask) }).ResponseAsync;
}
