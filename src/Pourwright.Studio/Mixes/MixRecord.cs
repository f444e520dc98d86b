using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Mixes;

/// <summary>A row of `mixes`, with what is left of it.</summary>
public sealed record MixRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string Site { get; init; }
    public required string ResinSystem { get; init; }
    public required long MixMs { get; init; }
    public required string Mixer { get; init; }
    public required string Scale { get; init; }
    public double? TemperatureCelsius { get; init; }
    public required string DeviationReason { get; init; }
    public required long AMassMg { get; init; }
    public required long BMassMg { get; init; }
    public required long PigmentMassMg { get; init; }

    /// <summary>On the basis of its resin system.</summary>
    public required double HardenerPartsPer100Resin { get; init; }
    public required double RatioDeviationPercent { get; init; }
    public long? PotLifeEndMs { get; init; }
    public required string Cautions { get; init; }
    public required long RecordMs { get; init; }

    /// <summary>What is neither poured nor thrown away: no column, counted from the pours and discards.</summary>
    public required long RemainingMassMg { get; init; }

    /// <summary>It was recorded by mistake: the last correction says so.</summary>
    public bool DidNotOccur { get; init; }

    public Mix ToProto(IEnumerable<(string Container, long MassMg)> draws, IEnumerable<Correction> corrections)
    {
        var mix = new Mix
        {
            Name = Name,
            Site = Site,
            ResinSystem = ResinSystem,
            Draws = { draws.Select(draw => new Mix.Types.Draw { Container = draw.Container, MassMg = draw.MassMg }) },
            MixTime = Instants.ToTimestamp(MixMs),
            Mixer = Mixer,
            Scale = Scale,
            DeviationReason = DeviationReason,
            AMassMg = AMassMg,
            BMassMg = BMassMg,
            PigmentMassMg = PigmentMassMg,
            HardenerPartsPer100Resin = HardenerPartsPer100Resin,
            RatioDeviationPercent = RatioDeviationPercent,
            RemainingMassMg = RemainingMassMg,
            PotLifeEndTime = Instants.ToTimestamp(PotLifeEndMs),
            Cautions = { MessageListJson.Read<Caution>(Cautions) },
            DidNotOccur = DidNotOccur,
            Corrections = { corrections },
        };
        if (TemperatureCelsius is { } celsius) mix.TemperatureCelsius = celsius;
        return mix;
    }
}
