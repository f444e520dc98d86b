using System.Globalization;
using Pourwright.Evidence.Counts;
using Pourwright.Evidence.Suspects;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Bearing = Pourwright.Evidence.Suspects.Bearing;
using Result = Pourwright.V1.Suspect.Types.Confirmation.Types.Result;

namespace Pourwright.Studio.Suspects;

/// <summary>Suspects in the terms of the protocol.</summary>
public static class SuspectTerms
{
    /// <summary>Further down a list nobody reads, and nothing there stands out.</summary>
    private const int SuspectsMax = 20;

    public static V1.SuspectRanking ToProto(SuspectFinding finding)
    {
        var (ranking, words) = (finding.Ranking, finding.Words);
        return new()
        {
            Kinds = { finding.Kinds },
            PieceCount = ranking.Pieces,
            DefectiveCount = ranking.Defective,
            UninspectedCount = finding.Uninspected,
            LevelCount = ranking.LevelsTested,
            CouldTell = ranking.CouldTell,
            Summary = words.Summary() + Uninspected(finding.Uninspected),
            Suspects = { ranking.Suspects.Take(SuspectsMax).Select(suspect => ToProto(suspect, finding.Studio, words)) },
        };
    }

    public static V1.PieceEvidence ToProto(ExaminedPiece piece, Defect.Types.Kind kind)
    {
        var evidence = new V1.PieceEvidence
        {
            Piece = piece.Factors.Name,
            Kind = kind,
            Defective = piece.Factors.IsDefective,
            Inspected = piece.Inspection is not null,
            Statements = { piece.Evidence(kind).GroupBy(said => (said.Bearing, said.Reason)).Select(group => new PhysicalStatement
            {
                Bearing = ToProto(group.Key.Bearing),
                Factors = { group.Select(said => ToProto(said.Factor)).Distinct() },
                Reason = group.Key.Reason,
                Statement = group.First().Finding is { } finding ? Refusals.Stated.Of(finding.Kind, finding.Text, finding.Facts) : null,
            }) },
            Levels = { Enum.GetValues<Factor>().Select(factor => new V1.PieceEvidence.Types.Level
            {
                Factor = ToProto(factor),
                Levels = { piece.Factors.LevelsOf(factor) },
                Measure = piece.Factors.Numbers.TryGetValue(factor, out var number) ? number.ToString("0.##", CultureInfo.InvariantCulture) : "",
            }) },
            LookTime = Instants.ToTimestamp(piece.LookMs),
        };
        if (piece.Conditions.Cure is { } cure)
            (evidence.ConversionRatio, evidence.GlassTransitionCelsius, evidence.LeastPeakCelsius, evidence.GreatestPeakCelsius) =
                (cure.Conversion, cure.TgCelsius, cure.SlowPeakCelsius, cure.FastPeakCelsius);
        return evidence;
    }

    public static SuspectFactor ToProto(Factor factor) => Enum.Parse<SuspectFactor>(factor.ToString());

    public static V1.Suspect ToProto(Evidence.Suspects.Suspect suspect, string studio, SuspectWords words)
    {
        var message = new V1.Suspect
        {
            Level = ToProto(suspect.Level, studio),
            Grade = ToProto(suspect.Grade),
            RankCount = suspect.Round ?? 0,
            Counts = ToProto(suspect.Counts),
            RemainingCounts = ToProto(suspect.CountsLeft),
            ChanceRatio = Math.Min(1, Math.Exp(suspect.LnP)),
            LeastRateRatio = suspect.Rate.Low,
            GreatestRateRatio = suspect.Rate.High,
            UnrecordedCount = suspect.Unrecorded.Pieces,
            UnrecordedDefectiveCount = suspect.Unrecorded.Defective,
            EvidenceForCount = suspect.Evidence.For,
            EvidenceAgainstCount = suspect.Evidence.Against,
            EvidenceUnknownCount = suspect.Evidence.Unknown,
            Aliases = { suspect.Aliases.Select(alias => ToProto(alias, studio)) },
            TestPours = { SuspectWords.TestPours(suspect) },
            Confirmations = { suspect.Confirmations.Select(ToProto) },
            ChangingPieceCount = suspect.PiecesThatWouldChangeIt ?? 0,
            Text = words.Of(suspect),
        };
        if (suspect.SameInstructorsOtherPieces is var (pieces, defective)) (message.OtherTaughtCount, message.OtherTaughtDefectiveCount) = (pieces, defective);
        return message;
    }

    private static V1.SuspectLevel ToProto(Evidence.Suspects.SuspectLevel level, string studio) => new()
    {
        Factor = ToProto(level.Factor),
        Level = level.Level,
        Resource = Resource(level.Factor, level.Level, studio),
        PieceCount = level.Pieces,
    };

    private static string Resource(Factor factor, string level, string studio) => factor switch
    {
        Factor.LotA or Factor.LotB or Factor.PigmentLot => ResourceKind.Lot.Under(studio, level),
        Factor.Container => ResourceKind.Container.Under(studio, level),
        Factor.Mix => ResourceKind.Mix.Under(studio, level),
        Factor.Instructor => ResourceKind.Instructor.Under(studio, level),
        Factor.Site => ResourceKind.Site.Under(studio, level),
        Factor.Bench => ResourceKind.Bench.Under(ResourceKind.Site.Under(studio, level.Split('/')[0]), level.Split('/')[1]),
        _ => "",
    };

    private static SuspectCounts ToProto(TwoByTwo counts) => new()
    {
        WithCount = counts.With,
        WithDefectiveCount = counts.DefectiveWith,
        WithoutCount = counts.Without,
        WithoutDefectiveCount = counts.DefectiveWithout,
    };

    private static V1.Suspect.Types.Confirmation ToProto(Confirmation confirmation) => new()
    {
        Beside = { confirmation.Beside.Select(ToProto) },
        Result = confirmation.Result switch
        {
            Confirmed.Holds => Result.Holds,
            Confirmed.DoesNotHold => Result.DoesNotHold,
            _ => Result.CannotTell,
        },
    };

    private static V1.Suspect.Types.Grade ToProto(Grade grade) => grade switch
    {
        Grade.Strong => V1.Suspect.Types.Grade.Strong,
        Grade.Some => V1.Suspect.Types.Grade.Some,
        _ => V1.Suspect.Types.Grade.TooLittle,
    };

    private static PhysicalStatement.Types.Bearing ToProto(Bearing bearing) => bearing switch
    {
        Bearing.For => PhysicalStatement.Types.Bearing.For,
        Bearing.Against => PhysicalStatement.Types.Bearing.Against,
        _ => PhysicalStatement.Types.Bearing.Unknown,
    };

    private static string Uninspected(int pieces) => pieces == 0 ? ""
        : $" Not counted, since nobody has looked yet or nobody said why they were given up: {pieces} {(pieces == 1 ? "piece" : "pieces")}.";
}
