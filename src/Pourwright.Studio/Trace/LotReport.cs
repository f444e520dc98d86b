using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.V1;
using static Pourwright.Studio.Trace.TraceWords;

namespace Pourwright.Studio.Trace;

/// <summary>Words the trace of a lot.</summary>
public sealed class LotReport
{
    private readonly LotTrace _trace;
    private readonly TracePlaces _places;
    private readonly Dictionary<string, long> _holdings;

    private LotReport(LotTrace trace, TracePlaces places)
    {
        (_trace, _places) = (trace, places);
        _holdings = trace.Holdings.ToDictionary(holding => holding.Holder, holding => holding.MassMg);
    }

    public static Report Write(LotTrace trace, TracePlaces places)
    {
        var report = new LotReport(trace, places);
        return new Report
        {
            Kicker = $"{places.Studio} · trace of a lot",
            Title = $"Lot {trace.Lot.SupplierLotCode} · {Id(trace.Lot.Name)}",
            Headline = report.Headline(),
            Alarm = trace.Lot.State == Lot.Types.State.Held || trace.Pieces.Any(piece => piece.Defects.Count > 0),
            Made = $"Traced {Local(trace.TraceTime, report.Zone)}",
            MadeTime = trace.TraceTime.ToDateTimeOffset(),
            Blocks = [.. report.Blocks()],
        };
    }

    /// <summary>A lot is at home where its first container stands.</summary>
    private TimeZoneInfo Zone => _trace.Containers.Count > 0 ? _places.Zone(_trace.Containers[0].Site) : TimeZoneInfo.Utc;

    private IEnumerable<ReportBlock> Blocks() =>
    [
        Facts(),
        .. Section("On the shelf", Containers()),
        .. Section("In pieces", Pieces()),
        .. Section("Where every gram went", Account(), new WordsBlock(TraceCautions.Blending)),
        .. Section("Mixes", Mixes()),
        .. Section("Not known", _trace.Unknowns.Count == 0 ? null : new SentencesBlock(_trace.Unknowns)),
        .. Section("Before anyone acts", new SentencesBlock(TraceCautions.OfLot)),
    ];

    private static IEnumerable<ReportBlock> Section(string heading, params ReportBlock?[] blocks)
    {
        ReportBlock[] present = [.. blocks.OfType<ReportBlock>()];
        return present.Length == 0 ? [] : [new HeadingBlock(heading), .. present];
    }

    private string Headline()
    {
        var held = _trace.Lot.State == Lot.Types.State.Held ? $" It is held: {_trace.Lot.HoldReason}." : "";
        var full = _trace.Containers.Where(container => container.RemainingMassMg > 0).ToList();
        var stock = $"{Grams(_trace.Account.RemainingMassMg)} of it stand in {Count(full.Count, "container")}";
        return $"Lot {_trace.Lot.SupplierLotCode}, {Of(_trace.Lot.Part)}{From()}, went into {Count(_trace.Pieces.Count, "piece")}{Sites()}; " +
               $"{DefectWords()}.{held} {stock}{Unexplained()}.";
    }

    private string From() => _trace.Lot.Supplier.Length == 0 ? "" : $" from {_trace.Lot.Supplier}";

    private string Sites()
    {
        var sites = _trace.Pieces.Select(piece => _places.Site(piece.Piece.Site)).Distinct().Order(StringComparer.Ordinal).ToList();
        return sites.Count == 0 ? "" : $" at {List(sites)}";
    }

    private string DefectWords()
    {
        var defective = _trace.Pieces.Count(piece => piece.Defects.Count > 0);
        return defective > 0
            ? $"{Number(defective)} of them with a defect"
            : "no defect is reported on them, which does not say that they have none";
    }

    private string Unexplained() => _trace.Account.UnexplainedMassMg switch
    {
        0 => "",
        > 0 and var missing => $"; {Grams(missing)} are missing",
        var over => $"; {Grams(-over)} more were found than the book says",
    };

    private FactsBlock Facts() => new(
    [
        ("Code on the can", _trace.Lot.SupplierLotCode),
        ("Supplier", OrUnknown(_trace.Lot.Supplier)),
        ("Part", Of(_trace.Lot.Part)),
        ("Resin system", _trace.Lot.ResinSystem.Length == 0 ? "–" : _places.ResinSystem(_trace.Lot.ResinSystem)),
        ("Received", $"{Grams(_trace.Lot.ReceivedMassMg)}, {Local(_trace.Lot.ReceiveTime, Zone)}"),
        ("Refused from", Day(_trace.Lot.ExpiryDate)),
        ("State", _trace.Lot.State == Lot.Types.State.Held ? $"held: {_trace.Lot.HoldReason}" : "released"),
        ("Times", "local to each site"),
        ("Content", _trace.Lot.Content.Length == 0 ? "–" : _trace.Lot.Content),
    ]);

    private GridBlock? Containers() => Grid(
        [new("Container"), new("Site"), new("State"), new("Lots in it"), new("Holds", true), new("Of this lot", true)],
        _trace.Containers.OrderByDescending(container => container.RemainingMassMg).Select(container => (string[])
        [
            Id(container.Name), _places.Site(container.Site), Of(container.State) + (container.Held ? ", held" : ""),
            string.Join(", ", container.Lots.Select(Id)), Grams(container.RemainingMassMg), Grams(_holdings[container.Name]),
        ]));

    private GridBlock? Pieces() => Grid(
        [new("Piece"), new("Label"), new("Site"), new("State"), new("Who has it"), new("Of this lot", true), new("Mixes"), new("Defects")],
        _trace.Pieces.OrderByDescending(piece => piece.Defects.Count > 0).ThenBy(piece => piece.Piece.Site, StringComparer.Ordinal)
            .Select(piece => (string[])
            [
                Id(piece.Piece.Name), piece.Piece.Label, _places.Site(piece.Piece.Site), Of(piece.Piece.State), piece.Holder,
                Grams(_holdings[piece.Piece.Name]), string.Join(", ", piece.Mixes.Select(Id)),
                piece.Defects.Count == 0 ? "none reported" : List([.. piece.Defects.Select(defect => Of(defect.Kind)).Distinct()]),
            ]));

    private GridBlock? Mixes() => Grid(
        [
            new("Mix"), new("Site"), new("Mixed"), new("By"), new("Scale"), new("Off target", true), new("Left in the vessel", true),
            new("Of this lot", true),
        ],
        _trace.Mixes.Select(mix => (string[])
        [
            Id(mix.Name), _places.Site(mix.Site), Brief(mix.MixTime, _places.Zone(mix.Site), _trace.TraceTime), mix.Mixer,
            OrUnknown(mix.Scale), Deviation(mix), Grams(mix.RemainingMassMg), Grams(_holdings[mix.Name]),
        ]));

    private GridBlock Account() => new(
        [new("Place"), new("Mass", true), new("Share", true)],
        [
            Entry("In pieces", _trace.Account.PouredMassMg),
            Entry("Mixed, neither poured nor thrown away", _trace.Account.MixedMassMg),
            Entry("Thrown away", _trace.Account.DiscardedMassMg),
            Entry("In containers by the book", _trace.Account.RemainingMassMg),
            Entry("Unexplained: missing (+) or too much (-) when weighed back", _trace.Account.UnexplainedMassMg),
            Entry("Received, the sum of these", _trace.Account.ReceivedMassMg),
        ]);

    private string[] Entry(string place, long massMg) =>
    [
        place, (massMg / 1000m).ToString("#,##0.000 g", CultureInfo.InvariantCulture),
        _trace.Account.ReceivedMassMg is 0 ? "–"
            : (100m * massMg / _trace.Account.ReceivedMassMg).ToString("0.00 '%'", CultureInfo.InvariantCulture),
    ];

    private static GridBlock? Grid(IReadOnlyList<GridColumn> columns, IEnumerable<string[]> rows)
    {
        string[][] all = [.. rows];
        return all.Length == 0 ? null : new(columns, all);
    }

    private static string Id(string name) => ResourceNames.IdOf(name);
}
