using Pourwright.Cure.Readiness;
using Pourwright.Evidence.Suspects;
using Pourwright.Studio.Defects;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Trace;
using Kind = Pourwright.V1.Defect.Types.Kind;

namespace Pourwright.Studio.Suspects;

/// <summary>A piece with all that could be to blame.</summary>
/// <param name="History">What happened to it.</param>
/// <param name="Inspection">Null where nobody has looked.</param>
/// <param name="Factors">Its levels and numbers.</param>
/// <param name="Conditions">What physics can speak about.</param>
/// <param name="LookMs">When its cure was looked at, Unix ms; null where it was not.</param>
public sealed record ExaminedPiece(PieceHistory History, PieceInspection? Inspection, InspectedPiece Factors, PieceConditions Conditions, long? LookMs)
{
    /// <summary>What is known of it beside the counts, for a kind of defect.</summary>
    public IReadOnlyList<PhysicalEvidence> Evidence(Kind kind) => PhysicalRules.Of(Factors.Name, DefectKinds.Of(kind), Conditions);
}

/// <summary>A ranking with what it rests on.</summary>
/// <param name="Studio">`studios/{studio}`.</param>
/// <param name="Kinds">Counted as one.</param>
/// <param name="Ranking">Suspects, best first.</param>
/// <param name="Pieces">Those that count as inspected.</param>
/// <param name="Uninspected">Poured pieces of the scope that do not.</param>
public sealed record SuspectFinding(string Studio, IReadOnlyList<Kind> Kinds, SuspectRanking Ranking, IReadOnlyList<ExaminedPiece> Pieces, int Uninspected)
{
    /// <summary>The ranking in words.</summary>
    public SuspectWords Words => new(Ranking, DefectKinds.Heading(Kinds));
}

/// <summary>Everything about one defect: what it shares, what is known of its piece, and how its sisters stand.</summary>
/// <param name="Defect">As reported.</param>
/// <param name="Trace">Its piece, traced back, with its sisters.</param>
/// <param name="Piece">What is known of it beside the counts.</param>
/// <param name="Finding">All of the studio's pieces compared for this kind of defect.</param>
/// <param name="States">Every poured piece of the studio by name: sisters among them.</param>
public sealed record DefectCase(
    DefectRecord Defect, PieceFacts Trace, ExaminedPiece Piece, SuspectFinding Finding, IReadOnlyDictionary<string, PieceRow> States);

/// <summary>From records to suspects: loads on one view, asks the engine beside the writer, decides.</summary>
public sealed class FindSuspects(StudioReads reads, ResinModels models, CureMemo memo, TimeProvider clock)
{
    /// <summary>What the inspected pieces of a scope share, for kinds that count as one.</summary>
    /// <exception cref="Refusal">STUDIO_NOT_FOUND, SITE_NOT_FOUND.</exception>
    public SuspectFinding Rank(SuspectScope scope, IReadOnlyList<Kind> kinds) => Rank(reads.Read(session =>
    {
        SiteStore.GetStudio(session, scope.Studio);
        foreach (var site in scope.Sites) SiteStore.GetSite(session, site);
        return SuspectStore.Load(session, scope);
    }), kinds);

    /// <summary>What is known of one piece; by default for its first defect.</summary>
    /// <param name="name">A piece.</param>
    /// <param name="kind">For which kind of defect.</param>
    /// <exception cref="Refusal">PIECE_NOT_FOUND; FIELD_INVALID where no kind is said and the piece has no defect; PIECE_NOT_POURED.</exception>
    public (ExaminedPiece Piece, Kind Kind) Examine(string name, Kind kind)
    {
        var records = reads.Read(session =>
        {
            PieceStore.GetPiece(session, name);
            return SuspectStore.Load(session, new(ResourceNames.StudioOf(name), [], Piece: name));
        });
        var history = PieceHistory.Of(records).SingleOrDefault() ?? throw NotPoured(name);
        var asked = kind != Kind.Unspecified ? kind
            : history.Defects is [var first, ..] ? first.Kind
            : throw Refusal.Invalid("kind", null, "must say for which defect: the piece has none.");
        return (Examine(history, history.Inspected([asked]), records, Known(records), isAsked: true), asked);
    }

    /// <summary>Everything about one defect.</summary>
    /// <exception cref="Refusal">DEFECT_NOT_FOUND.</exception>
    public DefectCase OfDefect(string name)
    {
        var now = clock.GetUtcNow();
        var (defect, trace, records) = reads.Read(session =>
        {
            var defect = DefectStore.GetDefect(session, name);
            return (defect, TraceStore.LoadPiece(session, defect.Piece, now), SuspectStore.Load(session, new(defect.Studio, [])));
        });
        var history = PieceHistory.Of(records).SingleOrDefault(history => history.Piece.Name == defect.Piece) ?? throw NotPoured(defect.Piece);
        return new(defect, trace, Examine(history, history.Inspected([defect.Kind]), records, Known(records), isAsked: true),
            Rank(records, [defect.Kind]), records.Pieces.ToDictionary(piece => piece.Name));
    }

    private SuspectFinding Rank(SuspectRecords records, IReadOnlyList<Kind> kinds)
    {
        var resins = Known(records);
        var all = PieceHistory.Of(records).Select(history => (History: history, Inspection: history.Inspected(kinds))).ToArray();
        ExaminedPiece[] pieces = [.. all.Where(piece => piece.Inspection is not null)
            .Select(piece => Examine(piece.History, piece.Inspection, records, resins, isAsked: piece.Inspection!.IsDefective))];
        var evidence = pieces.Where(piece => piece.Inspection!.IsDefective).SelectMany(piece => piece.Evidence(piece.Inspection!.Defect!.Kind)).ToArray();
        return new(records.Scope.Studio, kinds, RankSuspects.Of([.. pieces.Select(piece => piece.Factors)], evidence), pieces, all.Length - pieces.Length);
    }

    // Of pieces that are not asked about, the likely cure will do.
    private ExaminedPiece Examine(
        PieceHistory history, PieceInspection? inspection, SuspectRecords records, Func<string, (ResinCureModel, double)> resins, bool isAsked)
    {
        var lookMs = history.LookMs(inspection?.Defect);
        var room = lookMs is { } ms ? RecordedRoom.Of(history, ms, records.Air, PieceFactors.MinCureCelsius(history, records)) : null;
        var cure = room is null ? null : RecordedCure.Of(history, room, records.Air, resins);
        var likely = cure is null ? null : memo.Look(cure, Departure.None);
        var isDemold = lookMs is not null && lookMs == history.DemoldMs;
        var conditions = PieceFactors.Conditions(history, records, room, isAsked && likely is not null ? AtLook(cure!, likely, isDemold) : null);
        var factors = new InspectedPiece(history.Piece.Name, inspection is { IsDefective: true })
        {
            Levels = PieceFactors.Levels(history, records),
            Numbers = PieceFactors.Numbers(history, conditions, isDemold ? likely?.Conversion : null),
        };
        return new(history, inspection, factors, conditions, likely is null ? null : lookMs);
    }

    private CureAtLook? AtLook(RecordedCure cure, CureSight likely, bool isDemold) =>
        memo.Look(cure, cure.Slow) is { } slow && memo.Look(cure, cure.Fast) is { } fast
            ? new(cure.LookHours, isDemold, likely.Conversion, likely.TgCelsius, slow.TgCelsius, fast.TgCelsius, cure.WorkCelsius,
                slow.PeakCelsius, fast.PeakCelsius, RecordedCure.PeakLimitCelsius)
            : null;

    private static Refusal NotPoured(string piece) => Refusal.Precondition(Reasons.PieceNotPoured,
        $"Piece '{piece}' was never poured: nothing of it can be to blame yet. Ask again after its first pour.", ("piece", piece));

    private Func<string, (ResinCureModel, double)> Known(SuspectRecords records)
    {
        var fitted = records.Resins.ToDictionary(resin => resin.Key, resin => models.Of(resin.Value));
        return name => (fitted[name].Model, fitted[name].RateLnSd);
    }
}
