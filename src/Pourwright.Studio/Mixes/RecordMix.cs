using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Mixes;

/// <summary>What a mix is judged by.</summary>
/// <param name="Site">Where it was mixed.</param>
/// <param name="System">Whose ratio and limits apply.</param>
/// <param name="Containers">As they stand, in the order of the draws.</param>
/// <param name="NowMs">Unix ms of the record.</param>
public sealed record MixFacts(SiteRecord Site, ResinSystemRecord System, IReadOnlyList<ContainerContents> Containers, long NowMs);

/// <summary>Records a batch, weighed and stirred, and draws its masses.</summary>
public static class RecordMix
{
    private const int DrawsMax = 20;

    /// <exception cref="Refusal">FIELD_INVALID with every field that breaks its rule.</exception>
    public static void Check(RecordMixRequest request)
    {
        var mix = request.Mix ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("mix_id", request.MixId)
            .Name("mix.site", mix.Site, ResourceKind.Site, request.Parent)
            .Name("mix.resin_system", mix.ResinSystem, ResourceKind.ResinSystem, request.Parent)
            .Require(mix.Draws.Count is >= 2 and <= DrawsMax, "mix.draws",
                $"must be 2 to {DrawsMax} draws, with at least one of part A and one of part B.", $"{mix.Draws.Count}")
            .OptionalTime("mix.mix_time", mix.MixTime)
            .Text("mix.mixer", mix.Mixer, 80)
            .Text("mix.scale", mix.Scale, 80, 0)
            .Require(mix.DeviationReason.Length is 0 or >= 3 and <= 500 && !mix.DeviationReason.Any(char.IsControl), "mix.deviation_reason",
                "must be empty, or 3 to 500 characters that say why, without control characters.", mix.DeviationReason);
        if (mix.HasTemperatureCelsius) checks.Celsius("mix.temperature_celsius", mix.TemperatureCelsius, 0, 60);
        for (var i = 0; i < mix.Draws.Count; i++) CheckDraw(checks, mix, i, request.Parent);
        checks.ThrowIfAny();
    }

    /// <summary>The mix's row, and its containers after it drew from them.</summary>
    /// <exception cref="Refusal">TIME_IN_FUTURE, FIELD_INVALID where part A or B is missing, RESIN_SYSTEM_MISMATCH, SITE_MISMATCH,
    /// CONTAINER_HELD, LOT_HELD, CONTAINER_SPENT, TIME_OUT_OF_ORDER, CONTAINER_EXPIRED, CONTAINER_SHORT, RATIO_OUT_OF_TOLERANCE, BATCH_TOO_LARGE.</exception>
    public static (MixRecord Mix, IReadOnlyList<ContainerChange> Containers) Decide(RecordMixRequest request, string name, MixFacts facts)
    {
        var mix = request.Mix;
        var mixMs = EventTime.OrNow(mix.MixTime, facts.NowMs, "mix.mix_time");
        for (var i = 0; i < mix.Draws.Count; i++)
            RequireUsable(facts.Containers[i], mix.Draws[i].MassMg, facts, mixMs);
        var ratio = new MixRatio(facts.System, MassOf(mix, facts, Part.A), MassOf(mix, facts, Part.B));
        var pigmentMassMg = MassOf(mix, facts, Part.Pigment);
        var cautions = CautionsOf(ratio, ratio.AMassMg + ratio.BMassMg + pigmentMassMg, mix.DeviationReason, facts.Containers);
        var record = new MixRecord
        {
            Name = name,
            Studio = request.Parent,
            Site = mix.Site,
            ResinSystem = mix.ResinSystem,
            MixMs = mixMs,
            Mixer = mix.Mixer,
            Scale = mix.Scale,
            TemperatureCelsius = mix.HasTemperatureCelsius ? mix.TemperatureCelsius : null,
            DeviationReason = mix.DeviationReason,
            AMassMg = ratio.AMassMg,
            BMassMg = ratio.BMassMg,
            PigmentMassMg = pigmentMassMg,
            HardenerPartsPer100Resin = ratio.HardenerPartsPer100Resin,
            RatioDeviationPercent = ratio.DeviationPercent,
            PotLifeEndMs = mixMs + facts.System.PotLifeMs(),
            Cautions = MessageListJson.Write(cautions),
            RecordMs = facts.NowMs,
            RemainingMassMg = ratio.AMassMg + ratio.BMassMg + pigmentMassMg,
        };
        return (record, [.. mix.Draws.Select((draw, i) => Drawn(facts.Containers[i].Container, draw.MassMg))]);

        ContainerChange Drawn(ContainerRecord container, long massMg) =>
            OpenContainer.Opened(container, mixMs, OpenedShelfLifeMs(container, facts.System), name).With(new ContainerEventRecord
            {
                Container = container.Name,
                Kind = ContainerEventKinds.Mixed,
                MassMg = -massMg,
                Mix = name,
                EventMs = mixMs,
            });
    }

    /// <summary>What to know of a mix of these containers.</summary>
    /// <exception cref="Refusal">RATIO_OUT_OF_TOLERANCE, BATCH_TOO_LARGE without a reason for the deviation.</exception>
    internal static IEnumerable<Caution> CautionsOf(
        MixRatio ratio, long massMg, string deviationReason, IReadOnlyList<ContainerContents> containers)
    {
        Caution?[] cautions =
        [
            MixLimits.Ratio(ratio, deviationReason),
            MixLimits.Batch(ratio.System, massMg, deviationReason),
            MixLimits.SeveralLots(containers, Part.A),
            MixLimits.SeveralLots(containers, Part.B),
            .. containers.Select(contents => MixLimits.Opened(contents.Container)),
        ];
        return cautions.OfType<Caution>();
    }

    private static void CheckDraw(FieldChecks checks, Mix mix, int i, string parent) => checks
        .Name($"mix.draws[{i}].container", mix.Draws[i].Container, ResourceKind.Container, parent)
        .Require(!mix.Draws.Take(i).Any(other => other.Container == mix.Draws[i].Container),
            $"mix.draws[{i}].container", "stands twice in this mix; add its masses to one draw.", mix.Draws[i].Container)
        .Mass($"mix.draws[{i}].mass_mg", mix.Draws[i].MassMg);

    private static void RequireUsable(ContainerContents contents, long massMg, MixFacts facts, long mixMs)
    {
        var container = contents.Container;
        RequireSystem(container, facts.System);
        ContainerUse.RequireSite(container, facts.Site.Name);
        ContainerUse.RequireNotHeld(contents);
        ContainerUse.RequireNotSpent(container);
        ContainerUse.RequireReceived(contents, mixMs, facts.Site.Zone);
        ContainerUse.RequireInDate(container, mixMs, facts.Site.Zone);
        ContainerUse.RequireHolds(container, massMg);
    }

    /// <summary>Null for pigment: no sheet of a resin speaks of it.</summary>
    internal static long? OpenedShelfLifeMs(ContainerRecord container, ResinSystemRecord system) =>
        container.ResinSystem is null ? null : system.OpenedShelfLifeMs;

    internal static void RequireSystem(ContainerRecord container, ResinSystemRecord system)
    {
        if (container.Part != Part.Pigment && container.ResinSystem != system.Name)
            throw Refusal.Precondition(Reasons.ResinSystemMismatch,
                $"{container.Label} holds a part of {ResourceNames.IdOf(container.ResinSystem ?? "")}, the mix is of {ResourceNames.IdOf(system.Name)}. Parts of different systems are never mixed; check the label.",
                ("container", container.Name), ("container_resin_system", container.ResinSystem ?? ""), ("resin_system", system.Name));
    }

    private static long MassOf(Mix mix, MixFacts facts, Part part)
    {
        var massMg = mix.Draws.Where((_, i) => facts.Containers[i].Container.Part == part).Sum(draw => draw.MassMg);
        return massMg > 0 || part == Part.Pigment
            ? massMg
            : throw Refusal.Invalid("mix.draws", $"no {part}", "must hold at least one container of part A and one of part B; check the labels.");
    }
}
