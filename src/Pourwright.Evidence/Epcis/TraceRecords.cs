namespace Pourwright.Evidence.Epcis;

/// <summary>One thing that happened, as the studio recorded it: the plain side of an EPCIS event.</summary>
public abstract record TraceRecord
{
    public required DateTimeOffset Time { get; init; }

    /// <summary>IANA name of the zone of the site, whose clock the event's offset follows.</summary>
    public required string Zone { get; init; }

    /// <summary>Where it was seen: a bench, a store.</summary>
    public required Thing Place { get; init; }

    /// <summary>Where things are from then on, as a rule the site.</summary>
    public Thing? Location { get; init; }

    public DateTimeOffset? RecordTime { get; init; }
    public IReadOnlyList<Paper> Papers { get; init; } = [];

    /// <summary>Who did it. An id, never a name: the export leaves the house.</summary>
    public Thing? By { get; init; }
}

/// <summary>Kinds of papers an event refers to, as CBV 2.0 names them.</summary>
public enum PaperKind { DespatchAdvice, ProductionOrder, TestResult }

public sealed record Paper(PaperKind Kind, Thing Document);

/// <summary>A lot came in.</summary>
public sealed record LotReceived(Amount Lot) : TraceRecord
{
    public required string SupplierLot { get; init; }

    /// <summary>A, B, pigment ...</summary>
    public required string Component { get; init; }
    public Thing? Supplier { get; init; }
    public Thing? Receiver { get; init; }

    /// <summary>The last day of use, as a label has it.</summary>
    public DateOnly? ExpiryDate { get; init; }
    public DateOnly? ProductionDate { get; init; }
}

/// <summary>Something was made of something: what went in is no more, what came out has the name of <see cref="Act"/>.</summary>
public abstract record Making : TraceRecord
{
    /// <summary>Names this one making. A UUID as id becomes a urn:uuid.</summary>
    public required Thing Act { get; init; }
}

public enum FillingKind { Fill, Decant, TopUp }

/// <summary>
/// A container got new contents. They are a lot of their own from then on, because after a top-up nobody can tell its parents
/// apart: a trace widens here.
/// </summary>
public sealed record Filled(FillingKind Kind, IReadOnlyList<Amount> From, Amount Contents) : Making;

/// <summary>Parts were mixed. Masses are as weighed; what is not in the cup counts as loss.</summary>
public sealed record Mixed(IReadOnlyList<Amount> From, Amount Mix) : Making
{
    /// <summary>Parts by mass, such as <c>2:1</c>.</summary>
    public string? TargetRatioByMass { get; init; }
    public DateTimeOffset? PotLifeEnd { get; init; }
}

/// <summary>Resin went into a piece; the first pour makes the piece.</summary>
public sealed record Poured(IReadOnlyList<Amount> From, Thing Piece) : Making
{
    /// <summary>A later layer: the piece goes in and comes out.</summary>
    public bool OntoEarlierLayer { get; init; }
    public Thing? Blank { get; init; }
    public Thing? Mould { get; init; }
    public decimal? DepthMm { get; init; }
}

/// <summary>A logger was tied to a piece, or taken off.</summary>
public sealed record LoggerTied(Thing Piece, Thing Logger, bool TakenOff = false) : TraceRecord;

/// <summary>What the air or the casting did between two times.</summary>
/// <param name="Deviation">Standard deviation; null where it was not computed.</param>
public sealed record Span(decimal Min, decimal Max, decimal Mean, decimal? Deviation = null);

/// <summary>One reading that should be seen for itself.</summary>
/// <param name="Part">Own word for where in the piece, such as <c>core</c>.</param>
public sealed record NotedTemperature(DateTimeOffset Time, decimal TemperatureCelsius, string? Part, bool Alarm);

/// <summary>Readings of a cure, summed up.</summary>
/// <param name="From">Start of the stretch; its end is the event's own time.</param>
public sealed record CureRead(Thing Piece, Thing Logger, DateTimeOffset From) : TraceRecord
{
    public required Span TemperatureCelsius { get; init; }
    public Span? RelativeHumidityPercent { get; init; }
    public IReadOnlyList<NotedTemperature> Noted { get; init; } = [];

    /// <summary>Own word for how readings became a summary.</summary>
    public required string Method { get; init; }
}

/// <param name="Severity">Null where nobody graded it.</param>
public sealed record Defect(string Code, int? Severity = null);

/// <summary>A piece was looked at; without a defect it conforms.</summary>
public sealed record Inspected(Thing Piece, IReadOnlyList<Defect> Defects) : TraceRecord;

/// <summary>A piece was touched or measured while it cured: no verdict, it may simply have been early.</summary>
public sealed record Checked(Thing Piece) : TraceRecord
{
    /// <summary>Own word, such as <c>firm</c>.</summary>
    public string? Touch { get; init; }
    public decimal? ShoreD { get; init; }
}

/// <summary>A container was weighed back, and what the book had wrong is told.</summary>
/// <param name="UnexplainedMg">In mg; negative where mass is missing.</param>
public sealed record Weighed(Amount Left, long UnexplainedMg) : TraceRecord;

/// <summary>A material came to another site of the house.</summary>
public sealed record Moved(Amount Material) : TraceRecord;

/// <summary>Materials and pieces that may not be used until somebody says so.</summary>
public sealed record Held(IReadOnlyList<Amount> Materials, IReadOnlyList<Thing> Pieces) : TraceRecord
{
    public string? Reason { get; init; }
}

/// <summary>Held no longer.</summary>
public sealed record Released(IReadOnlyList<Amount> Materials, IReadOnlyList<Thing> Pieces) : TraceRecord;

/// <summary>A declared recall, not a suspicion: CBV keeps "recalled" for what may not be sold for the public's safety.</summary>
public sealed record Recalled(IReadOnlyList<Amount> Materials, IReadOnlyList<Thing> Pieces) : TraceRecord
{
    public required string Reason { get; init; }
}

/// <summary>Thrown away.</summary>
public sealed record Discarded(IReadOnlyList<Amount> Materials, IReadOnlyList<Thing> Pieces) : TraceRecord
{
    public string? Reason { get; init; }
}

public enum CorrectionReason { DidNotOccur, IncorrectData }

/// <summary>An earlier record was wrong. It is told again as it was, with this beside it; nothing is edited in place.</summary>
/// <param name="Right">What should have been recorded, and stands among the records as well; empty where it did not happen.</param>
public sealed record Correction(TraceRecord Wrong, DateTimeOffset DeclarationTime, CorrectionReason Reason, IReadOnlyList<TraceRecord> Right);
