using System.Globalization;
using System.Text.RegularExpressions;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;
using Date = Google.Type.Date;
using Sample = Pourwright.Testing.SampleStudio;

namespace Pourwright.Studio.Tests.Mixes;

/// <summary>Every refusal of resin systems, lots and mixes on the wire: request, code, reason, field paths. None keeps anything.</summary>
public sealed partial class RefusalTableTests(MixStudio studio) : IClassFixture<MixStudio>
{
    private sealed record Row(Func<MixStudio, Task> Call, StatusCode Code, string Reason, string Fields = "");

    private const string ReasonLotHeld = "studios/alder/lots/lot-held-a-lot";

    private static readonly Dictionary<string, Row> Table = new()
    {
        ["system of an unknown studio"] = NotFound(s => Create(s, r => r.Parent = "studios/nobody"), "STUDIO_NOT_FOUND"),
        ["system whose id is taken"] = new(s => Create(s, r => r.ResinSystemId = "deep"), StatusCode.AlreadyExists, "RESIN_SYSTEM_EXISTS"),
        ["system by volume without densities"] = Invalid(s => Create(s, r => r.ResinSystem.Basis = ResinSystem.Types.Basis.Volume), "resin_system.a_density_kg_per_m3,resin_system.b_density_kg_per_m3"),
        ["system that says nothing"] = Invalid(s => Create(s, r => r.ResinSystem = null), "resin_system.display_name,resin_system.basis,resin_system.hardener_parts_per_100_resin,resin_system.ratio_tolerance_percent,resin_system.cure_class"),
        ["system with a tolerance that tolerates all"] = Invalid(s => Create(s, r => r.ResinSystem.RatioTolerancePercent = 21), "resin_system.ratio_tolerance_percent"),
        ["system whose ratio is no number"] = Invalid(s => Create(s, r => r.ResinSystem.HardenerPartsPer100Resin = double.NaN), "resin_system.hardener_parts_per_100_resin"),
        ["system with a pot life of no batch"] = Invalid(s => Create(s, r => r.ResinSystem.DataSheet = new() { PotLife = Duration.FromTimeSpan(TimeSpan.FromHours(1)), PotLifeTemperatureCelsius = 23 }), "resin_system.data_sheet.pot_life_batch_mass_mg"),
        ["system with a shelf life of nothing"] = Invalid(s => Create(s, r => r.ResinSystem.OpenedShelfLife = new()), "resin_system.opened_shelf_life"),
        ["unknown system"] = NotFound(s => s.Resins.GetResinSystemAsync(new() { Name = "studios/alder/resinSystems/none" }).ResponseAsync, "RESIN_SYSTEM_NOT_FOUND"),

        ["lot whose id is taken"] = new(s => Receive(s, r => r.LotId = "deep-a-lot"), StatusCode.AlreadyExists, "LOT_EXISTS"),
        ["lot in a container whose code is taken"] = new(s => Receive(s, r => r.Containers[0].ContainerId = "deep-a1"), StatusCode.AlreadyExists, "CONTAINER_EXISTS"),
        ["lot of an unknown system"] = NotFound(s => Receive(s, r => r.Lot.ResinSystem = "studios/alder/resinSystems/none"), "RESIN_SYSTEM_NOT_FOUND"),
        ["lot at an unknown site"] = NotFound(s => Receive(s, r => r.Containers[0].Site = "studios/alder/sites/none"), "SITE_NOT_FOUND"),
        ["lot of resin of no system"] = Invalid(s => Receive(s, r => r.Lot.ResinSystem = ""), "lot.resin_system"),
        ["lot of pigment of a system"] = Invalid(s => Receive(s, r => r.Lot.Part = Part.Pigment), "lot.resin_system"),
        ["lot of another studio's system"] = Invalid(s => Receive(s, r => r.Lot.ResinSystem = "studios/elm/resinSystems/deep"), "lot.resin_system"),
        ["lot that expires on 30 February"] = Invalid(s => Receive(s, r => r.Lot.ExpiryDate = new Date { Year = 2026, Month = 2, Day = 30 }), "lot.expiry_date"),
        ["lot that expires on the first day of all"] = Invalid(s => Receive(s, r => r.Lot.ExpiryDate = new Date { Year = 1, Month = 1, Day = 1 }), "lot.expiry_date"),
        ["lot that expired in another century"] = Invalid(s => Receive(s, r => r.Lot.ExpiryDate = new Date { Year = 1999, Month = 12, Day = 31 }), "lot.expiry_date"),
        ["lot that outlives the house"] = Invalid(s => Receive(s, r => r.Lot.ExpiryDate = new Date { Year = 2101, Month = 1, Day = 1 }), "lot.expiry_date"),
        ["lot without containers"] = Invalid(s => Receive(s, r => r.Containers.Clear()), "containers"),
        ["lot with one code on two containers"] = Invalid(s => Receive(s, r => r.Containers.Add(r.Containers[0])), "containers[1].container_id"),
        ["lot in a container of more than a tonne"] = Invalid(s => Receive(s, r => r.Containers[0].ReceivedMassMg = 1_000_000_001), "containers[0].received_mass_mg"),
        ["lot received tomorrow"] = new(s => Receive(s, r => r.Lot.ReceiveTime = StudioHarness.Start.AddDays(1).ToTimestamp()), StatusCode.InvalidArgument, "TIME_IN_FUTURE", "lot.receive_time"),
        ["unknown lot"] = NotFound(s => s.Lots.GetLotAsync(new() { Name = "studios/alder/lots/none" }).ResponseAsync, "LOT_NOT_FOUND"),
        ["hold of an unknown lot"] = NotFound(s => s.Lots.HoldLotAsync(new() { Name = "studios/alder/lots/none", Reason = "soft" }).ResponseAsync, "LOT_NOT_FOUND"),
        ["hold without a reason"] = Invalid(s => s.Lots.HoldLotAsync(new() { Name = ReasonLotHeld, Reason = "?" }).ResponseAsync, "reason"),
        ["containers of an unknown lot"] = NotFound(s => s.Lots.ListContainersAsync(new() { Parent = Sample.Name, Lot = "studios/alder/lots/none" }).ResponseAsync, "LOT_NOT_FOUND"),

        ["unknown container"] = NotFound(s => s.Lots.GetContainerAsync(new() { Name = "studios/alder/containers/none" }).ResponseAsync, "CONTAINER_NOT_FOUND"),
        ["opening a spent container"] = Refused(s => s.Lots.OpenContainerAsync(new() { Name = MixStudio.SpentA }).ResponseAsync, "CONTAINER_SPENT"),
        ["opening before it came in"] = Refused(s => s.Lots.OpenContainerAsync(new() { Name = MixStudio.SouthA, OpenTime = StudioHarness.Start.AddDays(-1).ToTimestamp() }).ResponseAsync, "TIME_OUT_OF_ORDER"),
        ["opening tomorrow"] = new(s => s.Lots.OpenContainerAsync(new() { Name = MixStudio.SouthA, OpenTime = StudioHarness.Start.AddDays(1).ToTimestamp() }).ResponseAsync, StatusCode.InvalidArgument, "TIME_IN_FUTURE", "open_time"),
        ["decanting more than there is"] = Refused(s => Decant(s, Sample.DeepB, 9_000_001), "CONTAINER_SHORT"),
        ["decanting nothing"] = Invalid(s => Decant(s, Sample.DeepB, 0), "mass_mg"),
        ["decanting from a held container"] = Refused(s => Decant(s, MixStudio.HeldA, 1), "CONTAINER_HELD"),
        ["decanting a held lot"] = Refused(s => Decant(s, MixStudio.LotHeldA, 1), "LOT_HELD"),
        ["decanting from a spent container"] = Refused(s => Decant(s, MixStudio.SpentA, 1), "CONTAINER_SPENT"),
        ["topping up a container from itself"] = Invalid(s => TopUp(s, Sample.DeepA, Sample.DeepA), "source"),
        ["topping up resin with hardener"] = Refused(s => TopUp(s, Sample.DeepA, Sample.DeepB), "PART_MISMATCH"),
        ["topping up with another system"] = Refused(s => TopUp(s, Sample.DeepA, MixStudio.CoatA), "RESIN_SYSTEM_MISMATCH"),
        ["topping up from another site"] = Refused(s => TopUp(s, Sample.DeepA, MixStudio.SouthA), "SITE_MISMATCH"),
        ["topping up with a held lot"] = Refused(s => TopUp(s, Sample.DeepA, MixStudio.LotHeldA), "LOT_HELD"),
        ["topping up a held container"] = Refused(s => TopUp(s, MixStudio.HeldA, Sample.DeepA), "CONTAINER_HELD"),
        ["topping up with expired resin"] = Refused(s => TopUp(s, Sample.DeepA, MixStudio.ExpiredA), "CONTAINER_EXPIRED"),
        ["topping up a container thrown away"] = Refused(s => TopUp(s, MixStudio.SpentA, Sample.DeepA), "CONTAINER_SPENT"),
        ["topping up with more than there is"] = Refused(s => TopUp(s, Sample.DeepA, MixStudio.A2, 1_000_001), "CONTAINER_SHORT"),
        ["weighing back without a weight"] = Invalid(s => s.Lots.WeighBackContainerAsync(new() { Name = Sample.DeepA }).ResponseAsync, "remaining_mass_mg"),
        ["weighing back what was thrown away"] = Refused(s => s.Lots.WeighBackContainerAsync(new() { Name = MixStudio.SpentA, RemainingMassMg = 5 }).ResponseAsync, "CONTAINER_SPENT"),
        ["moving to an unknown site"] = NotFound(s => s.Lots.MoveContainerAsync(new() { Name = Sample.DeepA, Site = "studios/alder/sites/none" }).ResponseAsync, "SITE_NOT_FOUND"),
        ["moving to another studio"] = Invalid(s => s.Lots.MoveContainerAsync(new() { Name = Sample.DeepA, Site = "studios/elm/sites/north" }).ResponseAsync, "site"),
        ["throwing away twice"] = Refused(s => s.Lots.DiscardContainerAsync(new() { Name = MixStudio.SpentA, Reason = "again" }).ResponseAsync, "CONTAINER_SPENT"),

        ["mix from a held container"] = Refused(s => Mix(s, MixStudio.Mix(a: MixStudio.HeldA)), "CONTAINER_HELD"),
        ["mix from a held lot"] = Refused(s => Mix(s, MixStudio.Mix(a: MixStudio.LotHeldA)), "LOT_HELD"),
        ["mix from a spent container"] = Refused(s => Mix(s, MixStudio.Mix(a: MixStudio.SpentA)), "CONTAINER_SPENT"),
        ["mix on the first day after its date"] = Refused(s => Mix(s, MixStudio.Mix(a: MixStudio.ExpiredA)), "CONTAINER_EXPIRED"),
        ["mix of more than there is"] = Refused(s => Mix(s, MixStudio.Mix(a: MixStudio.A2, aMassMg: 1_000_001, bMassMg: 420_000)), "CONTAINER_SHORT"),
        ["mix with a container of another site"] = Refused(s => Mix(s, MixStudio.Mix(a: MixStudio.SouthA)), "SITE_MISMATCH"),
        ["mix with a part of another system"] = Refused(s => Mix(s, MixStudio.Mix(a: MixStudio.CoatA)), "RESIN_SYSTEM_MISMATCH"),
        ["mix out of ratio"] = Refused(s => Mix(s, MixStudio.Mix(bMassMg: 50_000)), "RATIO_OUT_OF_TOLERANCE"),
        ["mix of more than a vessel may hold"] = Refused(s => Mix(s, MixStudio.Mix(aMassMg: 4_000_000, bMassMg: 1_680_000)), "BATCH_TOO_LARGE"),
        ["mix without hardener"] = Invalid(s => Mix(s, MixStudio.Mix(b: MixStudio.Pigment)), "mix.draws"),
        ["mix of one container twice"] = Invalid(s => Mix(s, MixStudio.Mix(b: Sample.DeepA)), "mix.draws[1].container"),
        ["mix of one draw"] = Invalid(s => Mix(s, MixStudio.Mix().But(r => r.Mix.Draws.RemoveAt(1))), "mix.draws"),
        ["mix with a draw of nothing"] = Invalid(s => Mix(s, MixStudio.Mix(bMassMg: 0)), "mix.draws[1].mass_mg"),
        ["mix by nobody"] = Invalid(s => Mix(s, MixStudio.Mix().But(r => r.Mix.Mixer = "")), "mix.mixer"),
        ["mix at boiling heat"] = Invalid(s => Mix(s, MixStudio.Mix().But(r => r.Mix.TemperatureCelsius = 100)), "mix.temperature_celsius"),
        ["mix tomorrow"] = new(s => Mix(s, MixStudio.Mix().But(r => r.Mix.MixTime = StudioHarness.Start.AddDays(1).ToTimestamp())), StatusCode.InvalidArgument, "TIME_IN_FUTURE", "mix.mix_time"),
        ["mix a year before its cans came in"] = Refused(s => Mix(s, MixStudio.Mix(a: MixStudio.A2).But(r => r.Mix.MixTime = StudioHarness.Start.AddYears(-1).ToTimestamp())), "TIME_OUT_OF_ORDER"),
        ["mix from an unknown container"] = NotFound(s => Mix(s, MixStudio.Mix(a: "studios/alder/containers/none")), "CONTAINER_NOT_FOUND"),
        ["mix of an unknown system"] = NotFound(s => Mix(s, MixStudio.Mix().But(r => r.Mix.ResinSystem = "studios/alder/resinSystems/none")), "RESIN_SYSTEM_NOT_FOUND"),
        ["unknown mix"] = NotFound(s => s.Mixes.GetMixAsync(new() { Name = "studios/alder/mixes/none" }).ResponseAsync, "MIX_NOT_FOUND"),
        ["throwing away some of an unknown mix"] = NotFound(s => s.Mixes.DiscardMixAsync(new() { Name = "studios/alder/mixes/none", MassMg = 1 }).ResponseAsync, "MIX_NOT_FOUND"),
        ["page of a negative size"] = Invalid(s => s.Mixes.ListMixesAsync(new() { Parent = Sample.Name, PageSize = -1 }).ResponseAsync, "page_size"),
        ["page of another list"] = new(s => s.Lots.ListContainersAsync(new() { Parent = Sample.Name, PageToken = "AAAA" }).ResponseAsync, StatusCode.InvalidArgument, "PAGE_TOKEN_INVALID", "page_token"),
    };

    public static TheoryData<string> Claims => [.. Table.Keys];

    [Theory, MemberData(nameof(Claims))]
    public async Task Request_ThatMayNotBe_IsRefusedWithItsReasonAndKeepsNothing(string claim)
    {
        var row = Table[claim];
        var before = studio.EvidenceCount();

        var refusal = await Assert.ThrowsAsync<RpcException>(() => row.Call(studio));

        Assert.Equal((row.Code, row.Reason, row.Fields), (refusal.StatusCode, refusal.Reason(), string.Join(',', refusal.Fields())));
        Assert.NotEmpty(refusal.Facts());
        if (row.Code == StatusCode.FailedPrecondition) Assert.Empty(NumbersWithoutFact(refusal));
        Assert.Equal(before, studio.EvidenceCount());
    }

    /// <summary>Numbers of the text that no fact holds, as they stand or in mg where the text says g.</summary>
    private static IEnumerable<string> NumbersWithoutFact(RpcException refusal) => Number()
        .Matches(refusal.Status.Detail.Replace("parts for 100 of resin", "parts", StringComparison.Ordinal)) // a unit, not a value
        .Select(match => match.Value)
        .Where(number => !refusal.Facts().Values.Any(fact =>
            fact.Contains(number, StringComparison.Ordinal) || fact == $"{decimal.Parse(number, CultureInfo.InvariantCulture) * 1000:0}"));

    [GeneratedRegex(@"\d+(\.\d+)?")]
    private static partial Regex Number();

    private static Row Invalid(Func<MixStudio, Task> call, string fields) => new(call, StatusCode.InvalidArgument, "FIELD_INVALID", fields);

    private static Row NotFound(Func<MixStudio, Task> call, string reason) => new(call, StatusCode.NotFound, reason);

    private static Row Refused(Func<MixStudio, Task> call, string reason) => new(call, StatusCode.FailedPrecondition, reason);

    private static Task<ResinSystem> Create(MixStudio studio, Action<CreateResinSystemRequest> change) => studio.Resins.CreateResinSystemAsync(new CreateResinSystemRequest
    {
        Parent = Sample.Name,
        ResinSystem = new()
        {
            DisplayName = "Fine",
            Basis = ResinSystem.Types.Basis.Mass,
            HardenerPartsPer100Resin = 42,
            RatioTolerancePercent = 2,
            CureClass = ResinSystem.Types.CureClass.DeepCasting,
        },
    }.But(change)).ResponseAsync;

    private static Task<Lot> Receive(MixStudio studio, Action<ReceiveLotRequest> change) =>
        studio.Lots.ReceiveLotAsync(MixStudio.Receipt("fresh-a").But(change)).ResponseAsync;

    private static Task<Container> Decant(MixStudio studio, string from, long massMg) =>
        studio.Lots.DecantContainerAsync(new() { Name = from, MassMg = massMg }).ResponseAsync;

    private static Task<Container> TopUp(MixStudio studio, string target, string source, long massMg = 1) =>
        studio.Lots.TopUpContainerAsync(new() { Name = target, Source = source, MassMg = massMg }).ResponseAsync;

    private static Task<Mix> Mix(MixStudio studio, RecordMixRequest request) => studio.Mixes.RecordMixAsync(request).ResponseAsync;
}
