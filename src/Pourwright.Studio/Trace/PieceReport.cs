using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.V1;
using static Pourwright.Studio.Trace.TraceWords;

namespace Pourwright.Studio.Trace;

/// <summary>Words the trace of a piece.</summary>
public sealed class PieceReport
{
    /// <summary>More sisters than this are counted, not named; the JSON names them all. Common practice, no source.</summary>
    private const int SistersNamed = 12;

    private readonly PieceTrace _trace;
    private readonly TracePlaces _places;
    private readonly TimeZoneInfo _zone;

    private PieceReport(PieceTrace trace, TracePlaces places) =>
        (_trace, _places, _zone) = (trace, places, places.Zone(trace.Piece.Site));

    /// <param name="course">For paper; null where nothing was poured.</param>
    public static Report Write(PieceTrace trace, TracePlaces places, CureCourse? course)
    {
        var report = new PieceReport(trace, places);
        return new Report
        {
            Kicker = $"{places.Studio} · trace of a piece",
            Title = $"Piece {trace.Piece.Label} · {Id(trace.Piece.Name)}",
            Headline = report.Headline(),
            Alarm = trace.Defects.Count > 0,
            Made = $"Traced {Local(trace.TraceTime, report._zone)}",
            MadeTime = trace.TraceTime.ToDateTimeOffset(),
            Blocks = [.. report.Blocks(course)],
        };
    }

    private IEnumerable<ReportBlock> Blocks(CureCourse? course) =>
    [
        Facts(),
        .. Section("What is wrong", Defects(), Photos()),
        .. Section("What it is made of", _trace.Pours.Count > 0 ? new AncestryBlock(FamilyTree.Of(_trace, _zone)) : null, Lots()),
        .. Section("Corrected", Corrections()),
        .. Section("Who shares it", Sisters()),
        .. Section("Forecast, and what was seen", Gates(), Ladder(), Peak(), Room(), Advice(), course is null ? null : new CourseBlock(course)),
        .. Section("Climate as recorded", Climate()),
        .. Section("Pours", Pours()),
        .. Section("Mixes", Mixes()),
        .. Section("Warned at the time", Cautions()),
        .. Section("Checks", Checks()),
        .. Section("Steps", Steps()),
        .. Section("Not known", new SentencesBlock(_trace.Unknowns)),
        .. Section("Before anyone acts", new SentencesBlock(TraceCautions.OfPiece)),
    ];

    private static IEnumerable<ReportBlock> Section(string heading, params ReportBlock?[] blocks)
    {
        ReportBlock[] present = [.. blocks.OfType<ReportBlock>()];
        return present.Length == 0 ? [] : [new HeadingBlock(heading), .. present];
    }

    private string Headline()
    {
        var wrong = _trace.Defects.Count == 0
            ? $"No defect is reported on piece {_trace.Piece.Label}, which does not say that it has none."
            : $"Piece {_trace.Piece.Label}: {List([.. _trace.Defects.Select(defect => Of(defect.Kind)).Distinct()])}.";
        return string.Join(" ", ((string[])[wrong, Made(), Sharing(), Unknowns()]).Where(sentence => sentence.Length > 0));
    }

    private string Made()
    {
        if (_trace.Pours.Count == 0) return "Nothing was poured into it by the record.";
        var days = List([.. _trace.Pours.Select(pour => LocalDay(pour.Pour.PourTime, _zone)).Distinct()]);
        var lots = _trace.Pours.SelectMany(pour => pour.Draws)
            .SelectMany(draw => draw.Lots.Select(lot => (draw.Part, lot))).DistinctBy(drawn => drawn.lot.Name)
            .GroupBy(drawn => drawn.Part).OrderBy(part => part.Key)
            .Select(part => $"{Of(part.Key)} {List([.. part.Select(drawn => drawn.lot.SupplierLotCode)])}");
        var mixes = _trace.Pours.DistinctBy(pour => pour.Mix.Name).Count();
        return $"Poured at {_places.Site(_trace.Piece.Site)} on {days} in {Count(_trace.Pours.Count, "pour")} from {Count(mixes, "mix", "mixes")}, " +
               $"out of lots: {string.Join("; ", lots)}.";
    }

    private string Sharing()
    {
        var shared = _trace.Sisters.Where(factor => factor.Kind == SharedKinds.Lot).ToList();
        var sisters = shared.SelectMany(factor => factor.Pieces).Distinct().Count();
        var defective = shared.SelectMany(factor => factor.Pieces.Take(factor.DefectCount)).Distinct().Count();
        var ofThem = defective == 0 ? "none of them has" : Count(defective, "of them has", "of them have");
        var more = shared.Any(factor => factor.PieceCount > factor.Pieces.Count) ? "At least " : "";
        return sisters == 0 ? "" : $"{more}{Count(sisters, "other piece shares", "other pieces share")} a lot with it; {ofThem} a reported defect.";
    }

    private string Unknowns() => _trace.Unknowns.Count == 0
        ? ""
        : $"{Count(_trace.Unknowns.Count, "thing is", "things are")} not known; see below.";

    private FactsBlock Facts() => new(
    [
        ("Maker", OrUnknown(_trace.Piece.Maker)),
        ("State", Of(_trace.Piece.State)),
        ("Site", _places.Site(_trace.Piece.Site)),
        ("Bench", _trace.Piece.Bench.Length == 0 ? Unknown : _places.Bench(_trace.Piece.Bench)),
        ("Class", OrUnknown(ClassOf(_trace.Piece))),
        ("Mould", OrUnknown(_trace.Piece.Mould)),
        ("Wood", OrUnknown(_trace.Piece.WoodSpecies)
            + (_trace.Piece.HasChannelWidthMm ? $", resin {Quantity(_trace.Piece.ChannelWidthMm, "mm")} wide between it" : "")),
        ("Wood moisture", Quantity(_trace.Piece.HasWoodMoisturePercent ? _trace.Piece.WoodMoisturePercent : null, "%")),
        ("Comes back", Time(_trace.Piece.PlannedSessionTime)),
        ("Times", Clock(_zone, _trace.TraceTime)),
    ]);

    /// <summary>What people call it, and its id; or the words it was given.</summary>
    private static string ClassOf(Piece piece) => piece.CastingClassDisplayName.Length > 0
        ? $"{piece.CastingClassDisplayName} ({Id(piece.CastingClass)})"
        : piece.CastingClass;

    private GridBlock? Defects() => Grid(
        [new("Seen"), new("Found"), new("By"), new("Note")],
        _trace.Defects.Select(defect => (string[])
            [Capital(Of(defect.Kind)), Time(defect.FindTime), defect.Finder, defect.Note]));

    private SentencesBlock? Photos()
    {
        string[] photos = [.. _trace.Defects.SelectMany(defect => defect.PhotoUris.Select(uri => $"Photo: {uri}"))];
        return photos.Length == 0 ? null : new(photos);
    }

    private GridBlock? Lots() => Grid(
        [new("Lot"), new("Code on the can"), new("Supplier"), new("Part"), new("Received"), new("Refused from"), new("State")],
        _trace.Pours.SelectMany(pour => pour.Draws).SelectMany(draw => draw.Lots).DistinctBy(lot => lot.Name).OrderBy(lot => lot.Part)
            .Select(lot => (string[])
            [
                Id(lot.Name), lot.SupplierLotCode, OrUnknown(lot.Supplier), Of(lot.Part), LocalDay(lot.ReceiveTime, _zone), Day(lot.ExpiryDate),
                Held(lot) ? $"held: {lot.HoldReason}" : "released",
            ]));

    /// <summary>No entry hides an earlier one: what stood there is said beside what is right.</summary>
    private GridBlock? Corrections() => Grid(
        [new("Said"), new("By"), new("What"), new("Recorded"), new("Right"), new("Why")],
        _trace.Corrections.SelectMany(correction => correction.Changes.Select(change => (string[])
            [Time(correction.CorrectTime), correction.Person, Capital(change.What), change.Recorded, change.Right, correction.Reason])));

    private GridBlock? Sisters() => Grid(
        [new("Shared"), new("Which"), new("Others", true), new("With a defect", true), new("Pieces, those with a defect first")],
        _trace.Sisters.Select(factor => (string[])
            [Capital(factor.Kind), Value(factor), Number(factor.PieceCount), Number(factor.DefectCount), Named(factor)]));

    private string Value(SharedFactor factor)
    {
        if (factor.Kind == SharedKinds.BenchDay && factor.Value.Split(' ') is [var bench, var day]) return $"{_places.Bench(bench)}, {day}";
        return factor.Value.Contains('/', StringComparison.Ordinal) ? Id(factor.Value) : factor.Value;
    }

    private static string Named(SharedFactor factor)
    {
        var named = string.Join(", ", factor.Pieces.Take(SistersNamed).Select(Id));
        return factor.PieceCount > SistersNamed ? $"{named} and {factor.PieceCount - SistersNamed} more" : named;
    }

    private GridBlock? Gates() => _trace.Forecast is null && _trace.Gates.All(gate => gate.Observation == Unknown) ? null : Grid(
        [new("Gate"), new("First forecast"), new("Last forecast"), new("Seen and done")],
        _trace.Gates.Select(gate => (string[])
            [Capital(Of(gate.Gate)), Safe(gate.FirstForecast), Forecast(gate.LastForecast), Capital(gate.Observation)]));

    private string Forecast(GateForecast? gate) => gate switch
    {
        null => Unknown,
        { SafeTime: null } => "not without warmth",
        _ => $"{Time(gate.EarliestTime)} to {Time(gate.SafeTime)} (safe), likely {Time(gate.LikelyTime)}",
    };

    private string Safe(GateForecast? gate) => gate?.SafeTime is { } safe ? $"safe {Time(safe)}" : Forecast(gate);

    private WordsBlock? Ladder()
    {
        if (_trace.Forecast is not { } forecast || forecast.Gates.Count == 0) return null;
        string Of(Gate gate) => Safe(forecast.Gates.FirstOrDefault(each => each.Gate == gate));
        var window = forecast.NextLayer switch
        {
            null => "",
            { BestShareRatio: < 0.5 } => "A further layer had no time that suits half of the cases: harden, sand, then pour.",
            var w => $"A further layer without sanding: best {Time(w.BestTime)}, usually {Time(w.OpensLikelyTime)} to {Time(w.ClosesLikelyTime)}.",
        };
        return new($"Also by the last forecast: first gel {Of(Gate.FirstGel)}; second coat {Of(Gate.Recoat)}; hand-over "
            + $"{Of(Gate.HandOver)}; as hard as the room makes it {Of(Gate.FullCure)}. {window}".TrimEnd());
    }

    private WordsBlock? Advice() => _trace.Forecast is not { } forecast || forecast.Reason.Length == 0 ? null : new(
        $"Why the last forecast was made: {forecast.Reason} What it advised: "
        + $"{string.Join(" ", forecast.Advice.Select(advice => advice.Text).DefaultIfEmpty("nothing."))}");

    private WordsBlock? Peak() => _trace.Forecast?.Peak is not { } peak ? null : new(
        $"Hottest place: first forecast {Range(_trace.FirstForecast?.Peak)}, last forecast {Range(peak)}. {Capital(_trace.PeakObservation)}" +
        (_trace.PeakObservation == Unknown ? ": nobody measured a surface." : ""));

    private WordsBlock? Room() => _trace.Forecast is null
        ? null
        : new(string.Join(" ", _trace.Forecast.Cautions.Select(caution => caution.Text)
            .Prepend($"Room as the last forecast took it: {_trace.Forecast.RoomAssumption}")));

    private static string Range(PeakPrediction? peak) => peak is null
        ? Unknown
        : string.Create(CultureInfo.InvariantCulture, $"{peak.LowCelsius:0} to {peak.HighCelsius:0} °C");

    private GridBlock? Climate() => Grid(
        [
            new("When"), new("Readings", true), new("Coldest", true), new("Mean", true), new("Warmest", true), new("Dampest", true),
            new("Dew margin", true), new("Too cold", true), new("No readings", true),
        ],
        [
            .. _trace.Pours.Select(pour => Row($"Pour {pour.Pour.LayerCount} ± 30 min", pour.ClimateAtPour, tooCold: false)),
            .. _trace.ClimateThroughCure is { } cure ? [Row("Through the cure", cure, tooCold: true)] : Array.Empty<string[]>(),
        ]);

    private static string[] Row(string when, ClimateSpan span, bool tooCold) =>
    [
        when, Number(span.ReadingCount),
        Quantity(span.HasMinTemperatureCelsius ? span.MinTemperatureCelsius : null, "°C"),
        Quantity(span.HasMeanTemperatureCelsius ? span.MeanTemperatureCelsius : null, "°C"),
        Quantity(span.HasMaxTemperatureCelsius ? span.MaxTemperatureCelsius : null, "°C"),
        Quantity(span.HasMaxRelativeHumidityPercent ? span.MaxRelativeHumidityPercent : null, "%"),
        Quantity(span.HasMinDewPointMarginCelsius ? span.MinDewPointMarginCelsius : null, "K"),
        !tooCold ? "–" : span.ReadingCount == 0 ? Unknown : Span(span.BelowMinimumDuration.ToTimeSpan()),
        Span(span.Gaps.Aggregate(TimeSpan.Zero, (sum, gap) => sum + (gap.EndTime.ToDateTimeOffset() - gap.StartTime.ToDateTimeOffset()))),
    ];

    private GridBlock? Pours() => Grid(
        [
            new("Layer"), new("Poured"), new("Mix"), new("Mass", true), new("Depth", true), new("Resin", true), new("Mould, wood", true),
            new("Bench"), new("By"),
        ],
        _trace.Pours.Select(trace => trace.Pour).Select(pour => (string[])
        [
            Number(pour.LayerCount), Time(pour.PourTime), Id(pour.Mix), Grams(pour.MassMg), Quantity(pour.DepthMm, "mm"),
            Quantity(pour.HasResinTemperatureCelsius ? pour.ResinTemperatureCelsius : null, "°C"),
            Quantity(pour.HasSurfaceTemperatureCelsius ? pour.SurfaceTemperatureCelsius : null, "°C"),
            _places.Bench(pour.Bench), pour.Pourer,
        ]));

    private GridBlock? Mixes() => Grid(
        [
            new("Mix"), new("Mixed"), new("By"), new("Scale"), new("Resin (A)", true), new("Hardener (B)", true), new("Pigment", true),
            new("B for 100 A", true), new("Off target", true), new("Batch", true),
        ],
        _trace.Pours.Select(pour => pour.Mix).DistinctBy(mix => mix.Name).Select(mix => (string[])
        [
            Id(mix.Name), Time(mix.MixTime), mix.Mixer, OrUnknown(mix.Scale), Grams(mix.AMassMg), Grams(mix.BMassMg), Grams(mix.PigmentMassMg),
            mix.HardenerPartsPer100Resin.ToString("0.##", CultureInfo.InvariantCulture), Deviation(mix),
            Quantity(mix.HasTemperatureCelsius ? mix.TemperatureCelsius : null, "°C"),
        ]));

    private SentencesBlock? Cautions()
    {
        var mixes = _trace.Pours.Select(pour => pour.Mix).DistinctBy(mix => mix.Name).ToList();
        string[] sentences =
        [
            .. mixes.SelectMany(mix => mix.Cautions.Select(caution => $"Mix {Id(mix.Name)}: {caution.Text}")),
            .. mixes.Where(mix => mix.DeviationReason.Length > 0)
                .Select(mix => $"Mix {Id(mix.Name)} was recorded out of its limits: {mix.DeviationReason}"),
            .. _trace.Pours.SelectMany(pour => pour.Pour.Cautions.Select(caution => $"Pour {pour.Pour.LayerCount}: {caution.Text}")),
            .. _trace.Pours.Where(pour => pour.Pour.DeviationReason.Length > 0)
                .Select(pour => $"Pour {pour.Pour.LayerCount} was recorded out of its limits: {pour.Pour.DeviationReason}"),
            .. _trace.Steps.SelectMany(step => step.Cautions.Select(caution => $"{Capital(Of(step.Kind))}: {caution.Text}")),
        ];
        return sentences.Length == 0 ? null : new(sentences);
    }

    private GridBlock? Checks() => Grid(
        [new("Checked"), new("By"), new("Touch"), new("Shore D", true), new("Surface", true), new("Thickness", true), new("Note")],
        _trace.Checks.Select(check => (string[])
        [
            Time(check.CheckTime), check.Checker, Of(check.Touch),
            check.ShoreDBelowScale ? "below scale" : check.HasShoreD ? check.ShoreD.ToString("0.#", CultureInfo.InvariantCulture) : "–",
            check.HasSurfaceTemperatureCelsius ? Quantity(check.SurfaceTemperatureCelsius, "°C") : "–",
            check.HasThicknessMm ? Quantity(check.ThicknessMm, "mm") : "–",
            check.Note,
        ]));

    private GridBlock? Steps() => Grid(
        [new("Step"), new("When"), new("By"), new("To bench"), new("Note")],
        _trace.Steps.Select(step => (string[])
            [Capital(Of(step.Kind)), Time(step.StepTime), step.Worker, step.Bench.Length == 0 ? "–" : _places.Bench(step.Bench), step.Note]));

    private string Time(Timestamp? instant) => Brief(instant, _zone, _trace.TraceTime);

    private static GridBlock? Grid(IReadOnlyList<GridColumn> columns, IEnumerable<string[]> rows)
    {
        string[][] all = [.. rows];
        return all.Length == 0 ? null : new(columns, all);
    }

    private static bool Held(Lot lot) => lot.State == Lot.Types.State.Held;

    private static string Id(string name) => ResourceNames.IdOf(name);
}
