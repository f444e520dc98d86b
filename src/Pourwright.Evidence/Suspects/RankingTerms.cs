namespace Pourwright.Evidence.Suspects;

/// <summary>What a ranking goes by. Own choices where nothing else is said; SuspectStudy in the tests shows what they bring.</summary>
public sealed record RankingTerms
{
    /// <summary>A level with fewer pieces is not tested.</summary>
    public int LeastPieces { get; init; } = 3;

    /// <summary>Expected share of false ones among those called out, 0 to 1.</summary>
    public double FalseDiscoveryRate { get; init; } = 0.05;

    /// <summary>After so many suspects no further one is looked for.</summary>
    public int MostPeels { get; init; } = 4;

    /// <summary>Levels that share this part of the pieces that the larger one has cannot be told apart, 0 to 1.</summary>
    public double AliasShare { get; init; } = 0.8;

    /// <summary>From so many pieces on suspects are tried inside each site and instructor, and beside the numbers.</summary>
    public int ConfirmFromPieces { get; init; } = 100;

    /// <summary>Adjusted p up to which a confirmed suspicion is strong.</summary>
    public double StrongAdjustedP { get; init; } = 0.01;

    /// <summary>Physical evidence moves p by less than so many times either way, before weights are brought to mean 1.</summary>
    public double EvidenceBound { get; init; } = 5;

    /// <summary>Pieces that speak as usual, counted with those of each suspect; more than 0, so that one piece never says all.</summary>
    public double EvidenceDoubtPieces { get; init; } = 2;
}
