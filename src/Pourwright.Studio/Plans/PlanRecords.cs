using System.Text.Json;
using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using LocalDays = Pourwright.Studio.Classes.Days;

namespace Pourwright.Studio.Plans;

/// <summary>A row of `plans` with its classes.</summary>
public sealed record PlanRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required Plan.Types.State State { get; init; }

    /// <summary>Of a pour, yyyy-MM-dd.</summary>
    public required string FirstDate { get; init; }
    public required int DayCount { get; init; }
    public required int StudentCount { get; init; }
    public required int StudentBoundCount { get; init; }
    public required int ClassCount { get; init; }
    public required int MovedCount { get; init; }
    public required int CancelledCount { get; init; }
    public required long CreateMs { get; init; }
    public long? PublishMs { get; init; }
    public string Publisher { get; init; } = "";
    public string Reason { get; init; } = "";
    public string? BasePlan { get; init; }

    /// <summary>JSON, see <see cref="EventJson"/>.</summary>
    public string? Event { get; init; }

    /// <summary>A JSON list, see <see cref="MessageListJson"/>.</summary>
    public string Cautions { get; init; } = "[]";
    public string Text { get; init; } = "";

    /// <summary>Of `placements`, those with a place by their pour, then the others by name; empty in lists.</summary>
    public IReadOnlyList<PlacementRecord> Classes { get; init; } = [];

    public IEnumerable<PlacementRecord> Placed => Classes.Where(placement => placement.Site is not null);

    /// <summary>The plan, with its classes or without.</summary>
    public Plan ToProto(bool withClasses = true)
    {
        var plan = new Plan
        {
            Name = Name,
            State = State,
            FirstDate = LocalDays.ToProto(LocalDays.FromColumn(FirstDate)),
            DayCount = DayCount,
            StudentCount = StudentCount,
            StudentBoundCount = StudentBoundCount,
            ClassCount = ClassCount,
            MovedCount = MovedCount,
            CancelledCount = CancelledCount,
            CreateTime = Instants.ToTimestamp(CreateMs),
            PublishTime = Instants.ToTimestamp(PublishMs),
            Publisher = Publisher,
            Reason = Reason,
            BasePlan = BasePlan ?? "",
            Event = Event is null ? null : EventJson.Read(Event),
            Cautions = { MessageListJson.Read<Caution>(Cautions) },
        };
        if (!withClasses) return plan;
        plan.Text = Text;
        plan.Placed.Add(Placed.Select(placement => placement.ToPlaced()));
        plan.Unplaced.Add(Classes.Where(placement => placement.Site is null).Select(placement => placement.ToUnplaced()));
        return plan;
    }
}

/// <summary>A row of `placements` with its sessions.</summary>
public sealed record PlacementRecord
{
    public string Plan { get; init; } = "";
    public required string Class { get; init; }

    /// <summary>Null where the class has no place.</summary>
    public string? Site { get; init; }

    /// <summary>JSON, see <see cref="BenchShares"/>.</summary>
    public string Benches { get; init; } = "[]";
    public required int Students { get; init; }
    public double ReadyChance { get; init; }

    /// <summary>From the end of the pour's half day to the machine day.</summary>
    public long GapMs { get; init; }

    /// <summary>What its pieces need of that.</summary>
    public long LeastGapMs { get; init; }

    /// <summary>Against the plan before, in words.</summary>
    public string Change { get; init; } = "";

    /// <summary>Why it has no place.</summary>
    public string Reason { get; init; } = "";

    /// <summary>By kind.</summary>
    public IReadOnlyList<PlacedSessionRecord> Sessions { get; init; } = [];

    public IReadOnlyList<BenchShare> BenchShares() => JsonSerializer.Deserialize<BenchShare[]>(Benches)!;

    public PlannedClass ToPlaced() => new()
    {
        CastingClass = Class,
        Site = Site ?? "",
        Bench = BenchShares() is [var first, ..] ? first.Bench : "",
        Sessions = { Sessions.Select(session => session.ToProto()) },
        ReadyChanceRatio = ReadyChance,
        GapDuration = Duration.FromTimeSpan(TimeSpan.FromMilliseconds(GapMs)),
        LeastGapDuration = Duration.FromTimeSpan(TimeSpan.FromMilliseconds(LeastGapMs)),
        Change = Change,
        StudentCount = Students,
    };

    public UnplacedClass ToUnplaced() => new() { CastingClass = Class, StudentCount = Students, Reason = Reason };
}

/// <summary>So many pieces of a class lie on a bench.</summary>
public sealed record BenchShare(string Bench, int Pieces);

/// <summary>A row of `placed_sessions`.</summary>
public sealed record PlacedSessionRecord
{
    public string Plan { get; init; } = "";
    public string Class { get; init; } = "";
    public required Session.Types.Kind Kind { get; init; }
    public required string Site { get; init; }
    public required long StartMs { get; init; }
    public required long EndMs { get; init; }
    public required string LocalDate { get; init; }
    public required int LocalStartMinute { get; init; }
    public required string Instructor { get; init; }

    public static PlacedSessionRecord Of(SessionRecord session) => new()
    {
        Class = session.Class,
        Kind = session.Kind,
        Site = session.Site,
        StartMs = session.StartMs,
        EndMs = session.EndMs,
        LocalDate = session.LocalDate,
        LocalStartMinute = session.LocalStartMinute,
        Instructor = session.Instructor,
    };

    public PlannedSession ToProto() => new()
    {
        Kind = Kind,
        Date = LocalDays.ToProto(LocalDays.FromColumn(LocalDate)),
        StartTimeOfDay = WholeMinutes.ToTimeOfDay(LocalStartMinute),
        StartTime = Instants.ToTimestamp(StartMs),
        EndTime = Instants.ToTimestamp(EndMs),
        Instructor = Instructor,
    };
}

/// <summary>The column `event`.</summary>
internal static class EventJson
{
    public static string Write(PlanEvent happened) => JsonFormatter.Default.Format(happened);

    public static PlanEvent Read(string json) => JsonParser.Default.Parse<PlanEvent>(json);
}
