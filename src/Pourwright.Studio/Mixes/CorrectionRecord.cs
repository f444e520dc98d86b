using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Mixes;

/// <summary>A row of `corrections`: inserted once, never changed. The row's `sequence` is given by the store.</summary>
public sealed record CorrectionRecord
{
    public const string DidNotOccur = "did_not_occur";
    public const string IncorrectData = "incorrect_data";

    public long Sequence { get; init; }
    public required string Site { get; init; }

    /// <summary>A mix or a pour, by name.</summary>
    public required string Subject { get; init; }

    /// <summary><see cref="DidNotOccur"/> or <see cref="IncorrectData"/>.</summary>
    public required string Kind { get; init; }
    public required string Person { get; init; }
    public required string Reason { get; init; }
    public required long CorrectMs { get; init; }

    /// <summary>See <see cref="CorrectionJson"/>.</summary>
    public required string Changes { get; init; }

    /// <summary>Of a pour: the one that stands instead; null where it did not occur.</summary>
    public string? RightPour { get; init; }
    public long? AMassMg { get; init; }
    public long? BMassMg { get; init; }
    public long? PigmentMassMg { get; init; }
    public double? HardenerPartsPer100Resin { get; init; }
    public double? RatioDeviationPercent { get; init; }
    public string? Cautions { get; init; }

    public static string KindOf(Correction.Types.Kind kind) => kind == Correction.Types.Kind.DidNotOccur ? DidNotOccur : IncorrectData;

    public Correction ToProto() => new()
    {
        Subject = Subject,
        Kind = Kind == DidNotOccur ? Correction.Types.Kind.DidNotOccur : Correction.Types.Kind.IncorrectData,
        Person = Person,
        Reason = Reason,
        CorrectTime = Instants.ToTimestamp(CorrectMs),
        Changes = { CorrectionJson.Read(Changes) },
    };
}

/// <summary>What was recorded and what is right, in a column.</summary>
internal static class CorrectionJson
{
    public const string NeverHappened = "did not occur";

    public static string Write(IEnumerable<Correction.Types.Change> changes) => MessageListJson.Write(changes);

    public static IReadOnlyList<Correction.Types.Change> Read(string json) => MessageListJson.Read<Correction.Types.Change>(json);

    /// <summary>A change in words; null where there is none.</summary>
    public static Correction.Types.Change? Change(string what, string recorded, string right) =>
        recorded == right ? null : new() { What = what, Recorded = recorded, Right = right };
}
