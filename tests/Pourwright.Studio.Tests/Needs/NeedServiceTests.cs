using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Tests.Classes;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Tests.Needs;

/// <summary>The sample studio with three classes of eight trays, on 16, 17 and 18 February 2026; it is 6 February.</summary>
public sealed class NeedServiceTests : IClassFixture<NeedServiceTests.Season>
{
    private readonly Season _season;

    public NeedServiceTests(Season season) => _season = season;

    private V1.NeedService.NeedServiceClient Needs => new(_season.Classes.Harness.Channel);

    // 400 x 250 x 30 mm with 60 % wood: 1.20 L. Boards: 0.6 x (200,000 + 15,000) + 48,000 = 177,000 mm2, at 150 g/m2 26.55 g, with 12 % 29,736 mg.
    // At most 5 kg: three of 1.2 L x some 1.1 x 1.12 = 1.48 kg; the seal coat of all eight is one batch of 238 g, before them.
    [Fact]
    public async Task Need_OfAClass_AddsUpToTheMilligram()
    {
        var need = await Needs.GetResinNeedAsync(new() { Name = Class("one") });

        Assert.Equal((8, 1200.0, 0.12), (need.PieceCount, need.VoidMl, need.LossShareRatio));
        Assert.Equal(29_736, need.PieceSealCoat.AMassMg + need.PieceSealCoat.BMassMg);
        Assert.Equal((long)Math.Round(1.2e6 * need.DensityKgPerM3 * 1e-3 * 1.12), Sum(need.Piece) - 29_736);
        Assert.Equal([(0, 1, 8), (1, 1, 3), (1, 4, 6), (1, 7, 8)], need.Batches.Select(batch => (batch.LayerCount, batch.FirstPieceCount, batch.LastPieceCount)));
        Assert.Equal(8 * Sum(need.Piece), Sum(Assert.Single(need.Systems).Masses));
        Assert.Equal(8 * Sum(need.Piece), need.Batches.Sum(batch => Sum(batch.Masses)));
        Assert.All(need.Batches, batch => Assert.True(batch.WorkingDuration.ToTimeSpan() > TimeSpan.FromMinutes(10)));
        Assert.Empty(need.Cautions);
    }

    [Fact]
    public async Task Need_WithWarmerResin_PoursForLess()
    {
        var cool = await Needs.GetResinNeedAsync(new() { Name = Class("one") });
        var warm = await Needs.GetResinNeedAsync(new() { Name = Class("one"), Conditions = new() { ResinTemperatureCelsius = 30, RoomTemperatureCelsius = 28 } });
        Assert.True(warm.Batches[1].WorkingDuration.ToTimeSpan() < cool.Batches[1].WorkingDuration.ToTimeSpan());
    }

    // Two kilograms at 700 kg/m3 are 2.86 L of a mould of 3.00 L.
    [Fact]
    public async Task Need_OfWeighedWood_LeavesWhatItDoesNotFill() => Assert.Equal(
        3000 - 2_000_000 / 0.7 / 1000,
        (await Needs.GetResinNeedAsync(new() { Name = Class("one"), WoodMassMg = 2_000_000, WoodDensityKgPerM3 = 700 })).VoidMl, 1e-6);

    [Fact]
    public async Task Need_OfWoodWithoutItsDensity_IsRefused() => Assert.Equal(
        Reasons.FieldInvalid, await ReasonAsync(Needs.GetResinNeedAsync(new() { Name = Class("one"), WoodMassMg = 1_000_000 })));

    [Fact]
    public async Task Need_OfNoSuchClass_IsRefused() => Assert.Equal(
        Reasons.CastingClassNotFound, await ReasonAsync(Needs.GetResinNeedAsync(new() { Name = Class("none") })));

    // 20 kg of A and 9 kg of B last for two classes of 8.5 and 3.6 kg; the third bites, on 18 February; two weeks before is past.
    [Fact]
    public async Task Stock_OfTwoClasses_BitesAtTheThird()
    {
        var need = Sum((await Needs.GetResinNeedAsync(new() { Name = Class("one") })).Systems[0].Masses);
        var plan = await Needs.PlanLotsAsync(new() { Parent = SampleStudio.Name });

        Assert.Equal([Class("one"), Class("two"), Class("three")], plan.Classes.Select(lots => lots.CastingClass));
        Assert.Equal([SampleStudio.DeepA, SampleStudio.DeepB], plan.Classes[0].Draws.Select(draw => draw.Container));
        Assert.Equal(need, plan.Classes[0].Draws.Sum(draw => draw.MassMg));
        Assert.True(plan.Proved);
        Assert.Contains(plan.Classes[2].Cautions, caution => caution.Reason == Reasons.StockShort);

        var found = await Needs.ListShortfallsAsync(new() { Parent = SampleStudio.Name });
        Assert.Equal([Part.A, Part.B], found.Shortfalls.Select(shortfall => shortfall.Part));
        Assert.All(found.Shortfalls, shortfall => Assert.Equal((Class("three"), true, 4), (shortfall.CastingClass, shortfall.Late, shortfall.OrderDate.Day)));
        Assert.Equal(3 * need - 29_000_000, found.Shortfalls.Sum(shortfall => shortfall.MissingMassMg));

        var first = await Needs.ListShortfallsAsync(new() { Parent = SampleStudio.Name, PageSize = 1 });
        var second = await Needs.ListShortfallsAsync(new() { Parent = SampleStudio.Name, PageSize = 1, PageToken = first.NextPageToken });
        Assert.Equal(found.Shortfalls, first.Shortfalls.Concat(second.Shortfalls));
        Assert.Empty(second.NextPageToken);
    }

    // South has a can of A that nobody needs there: it is named for the third class, and stays where it stands.
    [Fact]
    public async Task Plan_NamesAContainerOfAnotherSite_AndKeepsNothing()
    {
        var before = _season.Classes.Count("container_events");
        var plan = await Needs.PlanLotsAsync(new() { Parent = SampleStudio.Name, Site = SampleStudio.North });
        var move = Assert.Single(plan.Moves);
        Assert.Equal(("studios/alder/containers/south-a", SampleStudio.South, SampleStudio.North), (move.Container, move.FromSite, move.ToSite));
        Assert.Equal(before, _season.Classes.Count("container_events"));
        Assert.Empty((await Needs.PlanLotsAsync(new() { Parent = SampleStudio.Name, Site = SampleStudio.South })).Classes);
    }

    [Fact]
    public async Task LotClasses_OfTheOnlyHardener_AreAllThatMissIt()
    {
        var found = (await Needs.ListLotClassesAsync(new() { Parent = "studios/alder/lots/deep-b-lot" })).Classes;
        Assert.Equal([Class("one"), Class("two"), Class("three")], found.Select(each => each.CastingClass));
        Assert.All(found, each => Assert.True(each.MissingMassMg >= each.MassMg));
        Assert.Equal(9_000_000, found.Sum(each => each.MassMg));
    }

    [Fact]
    public async Task MixSheet_NamesTheCansOfTheDay()
    {
        var text = (await Needs.PrintMixSheetAsync(new() { Name = Class("one") })).Data.ToStringUtf8();
        Assert.Contains("deep-a1, lot DEEP-A-LOT", text, StringComparison.Ordinal);
        Assert.Contains("seal coat, pieces 1 to 8", text, StringComparison.Ordinal);
        Assert.Contains("Mon 16 Feb 2026 10:00, north", text, StringComparison.Ordinal);
        var pdf = await Needs.PrintMixSheetAsync(new() { Name = Class("one"), Format = SheetFormat.Pdf });
        Assert.Equal(("application/pdf", "%PDF"), (pdf.ContentType, pdf.Data.ToStringUtf8()[..4]));
    }

    [Fact]
    public async Task MixSheet_OfAClassWithoutADay_LeavesTheContainersOpen()
    {
        var text = (await Needs.PrintMixSheetAsync(new() { Name = Class("open") })).Data.ToStringUtf8();
        Assert.Contains("No day yet", text, StringComparison.Ordinal);
        Assert.Contains("container ______________", text, StringComparison.Ordinal);
    }

    // A piece that nobody has poured has no forecast: it waits.
    [Fact]
    public async Task RunSheet_OfUnpouredPieces_LetsNothingRun()
    {
        var text = (await Needs.PrintRunSheetAsync(new() { Name = Class("one") })).Data.ToStringUtf8();
        Assert.Contains("WAIT         Piece 7, Mara", text, StringComparison.Ordinal);
        Assert.Contains("1 WAIT", text, StringComparison.Ordinal);
        Assert.DoesNotContain("We promise", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task RunSheet_OfAClassWithoutAMachineDay_IsRefused() => Assert.Equal(
        Reasons.ClassNotScheduled, await ReasonAsync(Needs.PrintRunSheetAsync(new() { Name = Class("open") })));

    private static string Class(string id) => $"{SampleStudio.Name}/classes/{id}";

    private static long Sum(PartMasses masses) => masses.AMassMg + masses.BMassMg;

    private static async Task<string> ReasonAsync<T>(AsyncUnaryCall<T> call) => (await Assert.ThrowsAsync<RpcException>(() => call.ResponseAsync)).Reason();

    /// <summary>One node for all: nothing here changes it.</summary>
    public sealed class Season : IAsyncLifetime
    {
        public ClassStudio Classes { get; } = new();

        public async Task InitializeAsync()
        {
            await Classes.InitializeAsync();
            await SampleStudio.ReceiveLotsAsync(Classes.Harness);
            await ReceiveInSouthAsync();
            string[] ids = ["one", "two", "three"];
            for (var i = 0; i < ids.Length; i++) await AddAsync(ids[i], 16 + i);
            await Classes.AskAsync("open");
            await new V1.PieceService.PieceServiceClient(Classes.Harness.Channel).CreatePieceAsync(new()
            {
                Parent = SampleStudio.Name, PieceId = "seven", Piece = new() { Site = SampleStudio.North, Label = "7", Maker = "Mara", CastingClass = Class("one") },
            });
        }

        public Task DisposeAsync() => Classes.DisposeAsync();

        private async Task AddAsync(string id, int day)
        {
            await Classes.AskAsync(id);
            await Classes.Classes.ScheduleSessionsAsync(new()
            {
                Name = Class(id),
                Sessions =
                {
                    ClassStudio.Time(Kind.Pour, ClassStudio.Day(2026, 2, day), 10), ClassStudio.Time(Kind.Machine, ClassStudio.Day(2026, 2, day + 8), 9),
                },
            });
        }

        private async Task ReceiveInSouthAsync() => await new V1.LotService.LotServiceClient(Classes.Harness.Channel).ReceiveLotAsync(new()
        {
            Parent = SampleStudio.Name,
            LotId = "south-a-lot",
            Lot = new() { Part = Part.A, ResinSystem = SampleStudio.Deep, SupplierLotCode = "SA-1" },
            Containers = { new ContainerReceipt { ContainerId = "south-a", Site = SampleStudio.South, ReceivedMassMg = 6_000_000 } },
        });
    }
}
