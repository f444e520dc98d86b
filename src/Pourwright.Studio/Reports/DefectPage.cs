using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using static Pourwright.Studio.Trace.TraceWords;
using Bearing = Pourwright.V1.PhysicalStatement.Types.Bearing;
using Line = Pourwright.V1.DefectReport.Types.Line;
using Result = Pourwright.V1.Suspect.Types.Confirmation.Types.Result;
using Sisters = Pourwright.V1.DefectReport.Types.Sisters;

namespace Pourwright.Studio.Reports;

/// <summary>How much a version of a page says.</summary>
/// <param name="Lines">Suspects.</param>
/// <param name="Names">Sisters by name at each place.</param>
/// <param name="NoteLength">Of what the finder wrote, in characters.</param>
/// <param name="WithTree">With the family tree.</param>
/// <param name="Statements">On this piece.</param>
internal sealed record PageDetail(int Lines, int Names, int NoteLength, int Statements, bool WithTree = true)
{
    /// <summary>The longest first. On a screen there is room for the longest.</summary>
    public static readonly PageDetail[] Versions = [new(7, 12, 400, 9), new(5, 8, 160, 2), new(4, 5, 80, 1), new(4, 2, 40, 1), new(3, 1, 40, 0), new(3, 1, 40, 0, WithTree: false)];
}

/// <summary>Words the report of a defect.</summary>
internal sealed class DefectPage
{
    private const string Caution =
        "Treat soft or sticky places as uncured resin: gloves, no bare skin, no saw, no sander. The safety data sheets, local code and licensed practice decide; this page does not replace them.";

    /// <summary>Of an address that stands alone and is not cut.</summary>
    private const int AddressLength = 90;

    private readonly DefectReport _report;
    private readonly PieceTrace _trace;
    private readonly TracePlaces _places;
    private readonly TimeZoneInfo _zone;
    private readonly PageDetail _detail;

    private DefectPage(DefectReport report, PieceTrace trace, TracePlaces places, PageDetail detail) =>
        (_report, _trace, _places, _zone, _detail) = (report, trace, places, places.Zone(trace.Piece.Site), detail);

    /// <param name="report">What it says.</param>
    /// <param name="trace">What the piece is made of.</param>
    /// <param name="places">What people call places.</param>
    /// <param name="course">For paper; null where nothing was poured.</param>
    /// <param name="detail">How much of it.</param>
    public static Report Write(DefectReport report, PieceTrace trace, TracePlaces places, CureCourse? course, PageDetail detail)
    {
        var page = new DefectPage(report, trace, places, detail);
        return new()
        {
            Kicker = $"{places.Studio} · report of a defect",
            Title = $"Piece {report.Piece.Label} · {Of(report.Defect.Kind)}",
            Headline = report.Verdict,
            Alarm = true,
            Made = $"Written {Local(report.ReportTime, page._zone)}",
            MadeTime = report.ReportTime.ToDateTimeOffset(),
            Blocks = [.. page.Blocks(course)],
        };
    }

    private IEnumerable<ReportBlock> Blocks(CureCourse? course) =>
    [
        Facts(),
        .. RecallReport.Section("What could be to blame", Suspects(), Statements(), new WordsBlock(
            "Strong, some, too little to say: none of these is a probability of guilt.")),
        .. RecallReport.Section("What it is made of, and how it cured",
            _detail.WithTree && _trace.Pours.Count > 0 ? new AncestryBlock(FamilyTree.Of(_trace, _zone)) : null,
            course is null ? null : new CourseBlock(course, Small: true), Climate()),
        .. RecallReport.Section($"Sisters: pieces that share {Shared()}", SisterPlaces()),
        .. RecallReport.Section("What to do now", Actions()),
        new WordsBlock(Caution),
    ];

    private FactsBlock Facts() => new(
    [
        ("Seen", $"{Capital(Of(_report.Defect.Kind))}; {Id(_report.Defect.Name)}"),
        ("Found", $"{Time(_report.Defect.FindTime)} by {_report.Defect.Finder}"),
        ("Piece", $"{Id(_report.Piece.Name)}, {Of(_report.Piece.State)}"),
        ("Maker", OrUnknown(_report.Piece.Maker)),
        ("Photos", Photos()),
        ("Made at", $"{_places.Site(_report.Piece.Site)}, class {OrUnknown(_report.Piece.CastingClassDisplayName.Length > 0 ? _report.Piece.CastingClassDisplayName : _report.Piece.CastingClass)}"),
        .. _report.Defect.Note.Length == 0 ? [] : new[] { ("Note", Cut(_report.Defect.Note.ReplaceLineEndings(" "), _detail.NoteLength)) },
    ]);

    private string Photos() => _report.Defect.PhotoUris switch
    {
        { Count: 0 } => "none on record",
        [var only] when only.Length <= AddressLength => only,
        var many => Cut(string.Join("  ", many), _detail.NoteLength) + (many.Sum(uri => uri.Length + 2) > _detail.NoteLength ? $" ({Count(many.Count, "address", "addresses")} in all: see the JSON)" : ""),
    };

    private GridBlock? Suspects() => RecallReport.Grid(
        [new("Suspect: what the record says"), new("With it", true), new("Others", true), new("For"), new("Against"), new("Unknown")],
        _report.Lines.Take(_detail.Lines).Select(line => (string[])
        [
            $"{Capital(DefectVerdict.NameOf(line.Suspect.Level))}{(line.Shared ? "" : " (not in this piece)")}: {DefectVerdict.Of(line.Suspect.Grade)}",
            $"{line.Suspect.Counts.WithDefectiveCount} of {line.Suspect.Counts.WithCount}", $"{line.Suspect.Counts.WithoutDefectiveCount} of {line.Suspect.Counts.WithoutCount}",
            Cell(For(line)), Cell(Against(line)), Cell(NotKnown(line)),
        ]));

    private static IEnumerable<string> For(Line line) =>
        [.. Second(line, Result.Holds, "holds"), .. Conditions(line, Bearing.For, line.Suspect.EvidenceForCount)];

    private static IEnumerable<string> Against(Line line) =>
    [
        .. Second(line, Result.DoesNotHold, "does not hold"), .. Conditions(line, Bearing.Against, line.Suspect.EvidenceAgainstCount),
        .. line.Suspect.RemainingCounts is { WithCount: > 0 } left && !left.Equals(line.Suspect.Counts)
            ? [$"without the suspects above {left.WithDefectiveCount} of {left.WithCount}, others {left.WithoutDefectiveCount} of {left.WithoutCount}"] : Array.Empty<string>(),
    ];

    private static IEnumerable<string> NotKnown(Line line) =>
    [
        .. Second(line, Result.CannotTell, "cannot be told"), .. Conditions(line, Bearing.Unknown, line.Suspect.EvidenceUnknownCount),
        .. line.Suspect.Aliases.Select(alias => $"cannot be told from {DefectVerdict.NameOf(alias)}"),
        .. line.Suspect.UnrecordedCount > 0 ? [$"no record of {Count(line.Suspect.UnrecordedCount, "piece")}"] : Array.Empty<string>(),
    ];

    private static IEnumerable<string> Second(Line line, Result result, string words)
    {
        string[] beside = [.. line.Suspect.Confirmations.Where(look => look.Result == result).Select(look => look.Beside is [var only] ? DefectVerdict.NameOf(only) : "numbers")];
        return beside.Length == 0 ? [] : [$"{words} beside {string.Join(", ", beside)}"];
    }

    private static IEnumerable<string> Conditions(Line line, Bearing bearing, int count)
    {
        var own = line.Statements.Any(said => said.Bearing == bearing);
        return count == 0 && !own ? []
            : count == 0 ? ["what is known of this piece"]
            : [$"what is known of {Count(count, "piece")}{(own ? ", this one too" : "")}"];
    }

    private SentencesBlock? Statements()
    {
        string[] said = [.. _report.Evidence.Statements.GroupBy(said => said.Reason).Select(reason => $"This piece, {List([.. reason.Select(Speaks)])}: {reason.Key}").Take(_detail.Statements)];
        return said.Length == 0 ? null : new(said);
    }

    private static string Speaks(PhysicalStatement said) => said.Bearing switch
    {
        Bearing.For => $"for {FactorsOf(said)}",
        Bearing.Against => $"against {FactorsOf(said)}",
        _ => $"unknown for {FactorsOf(said)}",
    };

    private static string FactorsOf(PhysicalStatement said) => said.Factors.Contains(SuspectFactor.LotA) && said.Factors.Contains(SuspectFactor.Mix)
        ? "what went into the cup"
        : said.Factors.Contains(SuspectFactor.Temperature) && said.Factors.Contains(SuspectFactor.HoursToDemold) ? "room and hours"
        : List([.. said.Factors.Select(DefectVerdict.NameOf)]);

    private WordsBlock? Climate() => _report.Climate is not { ReadingCount: > 0 } climate
        ? new("The room of its cure is not on record: unknown.")
        : new($"Room as recorded: {Quantity(climate.MinTemperatureCelsius, "°C")} to {Quantity(climate.MaxTemperatureCelsius, "°C")}, mean {Quantity(climate.MeanTemperatureCelsius, "°C")}; "
            + $"humidity up to {Quantity(climate.HasMaxRelativeHumidityPercent ? climate.MaxRelativeHumidityPercent : null, "%")}; too cold for {Span(climate.BelowMinimumDuration.ToTimeSpan())}.");

    private string Shared() => List([.. _report.SharedNames.Take(2).Select(name => $"{KindOf(name)} {Id(name)}")]);

    private static string KindOf(string name) => ResourceKind.Lot.Matches(name) ? "lot" : ResourceKind.Container.Matches(name) ? "container" : "mix";

    private ReportBlock SisterPlaces() => RecallReport.Grid(
        [new("Where"), new("Pieces", true), new("With this defect", true), new("Nobody looked", true), new("Held", true), new("Which, and who has them")],
        _report.Sisters.Select(place => (string[])
            [Capital(RecallReport.Of(place.Where).ToLowerInvariant()), Number(place.PieceCount), Number(place.DefectiveCount), Number(place.UninspectedCount), Number(place.HeldCount), Named(place)]))
        ?? (ReportBlock)new WordsBlock("No other piece shares it.");

    private string Named(Sisters place)
    {
        var pieces = _report.Reached.Pieces.Where(piece => piece.Where == place.Where && piece.Piece != _report.Defect.Piece).ToList();
        var named = string.Join(", ", pieces.Take(_detail.Names).Select(piece => place.Where == RecallPiece.Types.Where.HandedOver ? $"{piece.Label} {piece.Holder}" : piece.Label));
        return pieces.Count > _detail.Names ? $"{named} and {pieces.Count - _detail.Names} more" : named;
    }

    private SentencesBlock Actions() => new(
    [
        $"First of all: {string.Join(' ', _report.Holds.DefaultIfEmpty("nothing is left to hold."))}", .. _report.Tests.Select((text, i) => i == 0 ? $"Then test: {text}" : text),
        .. _report.Tells.Take(1).Select(text => $"Tell: {text} {string.Join(' ', _report.Tells.Skip(1))}".TrimEnd()),
        .. _report.MindChangers.Take(1).Select(text => $"What would change our mind: {text} {string.Join(' ', _report.MindChangers.Skip(1))}".TrimEnd()),
    ]);

    private static string Cell(IEnumerable<string> parts) => string.Join("; ", parts) is { Length: > 0 } text ? text : "–";

    private static string Cut(string text, int length) => text.Length <= length ? text : $"{text[..length].TrimEnd()} …";

    private string Time(Timestamp instant) => Brief(instant, _zone, _report.ReportTime);

    private static string Id(string name) => ResourceNames.IdOf(name);
}
