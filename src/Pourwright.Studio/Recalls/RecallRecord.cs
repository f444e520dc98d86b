using System.Text.Json;
using Google.Protobuf;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>A row of `recalls`, with how it ended. Times in Unix ms.</summary>
public sealed record RecallRecord
{
    private static readonly JsonParser Json = new(JsonParser.Settings.Default.WithIgnoreUnknownFields(true));

    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required bool Drill { get; init; }
    public required string Scope { get; init; }
    public string? ScopeDate { get; init; }
    public required string Reason { get; init; }
    public required string Starter { get; init; }
    public required long StartMs { get; init; }
    public required long ListMs { get; init; }
    public long? HoldMs { get; init; }
    public required int PieceCount { get; init; }
    public required int HandedOverCount { get; init; }
    public required long StockMassMg { get; init; }
    public required int PersonCount { get; init; }
    public required int ReachableCount { get; init; }

    /// <summary>Recall as protobuf JSON: list, gaps and, of a drill, whom it would tell and what it showed. Empty where it was not asked for.</summary>
    public string Found { get; init; } = "";

    /// <summary>Given when it is saved, and not read again: see <see cref="SealedText"/>.</summary>
    public string? SealSalt { get; init; }

    public string? FoundSeal => SealSalt is { } salt ? SealedText.SealOf(salt, "found", Found) : null;

    /// <summary>How it ended; null while it is open.</summary>
    public string? Outcome { get; init; }

    /// <summary>JSON list of sentences.</summary>
    public string? Gaps { get; init; }
    public string? Closer { get; init; }
    public long? CloseMs { get; init; }

    public RecallFrom From => new(Scope, ScopeDate is { } day ? Days.FromColumn(day) : null);

    public bool IsOpen => CloseMs is null;

    public static string Write(Recall found) => JsonFormatter.Default.Format(found);

    /// <summary>With all that was found, where it was asked for; notices and progress are added by who knows them.</summary>
    public Recall ToProto()
    {
        var recall = Found.Length == 0 ? new Recall() : Json.Parse<Recall>(Found);
        recall.Name = Name;
        recall.Drill = Drill;
        recall.Scope = From.ToProto();
        recall.Reason = Reason;
        recall.Starter = Starter;
        recall.Outcome = Outcome ?? "";
        recall.Closer = Closer ?? "";
        if (Gaps is { } gaps)
        {
            recall.Gaps.Clear();
            recall.Gaps.Add(JsonSerializer.Deserialize<string[]>(gaps));
        }
        StateGaps(recall);
        return recall;
    }

    /// <summary>What was found is kept with its kind; what came at the end, and was found by an earlier release, is not.</summary>
    private static void StateGaps(Recall recall)
    {
        Statement[] stated = [.. recall.Gaps.Select(gap => recall.GapStatements.FirstOrDefault(statement => statement.Text == gap) ?? new() { Text = gap })];
        recall.GapStatements.Clear();
        recall.GapStatements.Add(stated);
    }
}

/// <summary>A row of `recall_notices`, when it went out and what was answered. Times in Unix ms.</summary>
public sealed record NoticeRecord
{
    public required string Name { get; init; }
    public required string Recall { get; init; }
    public required int Position { get; init; }
    public required RecallNotice.Types.Role Role { get; init; }
    public required string Person { get; init; }
    public required string Recipient { get; init; }
    public required string Email { get; init; }
    public required string Obstacle { get; init; }
    public required string Site { get; init; }

    /// <summary>JSON list of names.</summary>
    public required string Pieces { get; init; }
    public int ChaseCount { get; init; }
    public long? ChaseDueMs { get; init; }
    public long? HandOverMs { get; init; }
    public long? TellMs { get; init; }
    public long? DeliverMs { get; init; }
    public RecallNotice.Types.Answer? Answer { get; init; }
    public string? Answerer { get; init; }
    public string? Note { get; init; }
    public long? AnswerMs { get; init; }

    /// <summary>Given when it is saved, and not read again: see <see cref="SealedText"/>.</summary>
    public string? SealSalt { get; init; }

    public string? PersonSeal => SealOf("person", Person);

    public string? RecipientSeal => SealOf("recipient", Recipient);

    public string? EmailSeal => SealOf("email", Email);

    public bool IsReachable => Email.Length > 0;

    public IReadOnlyList<string> PieceNames => JsonSerializer.Deserialize<string[]>(Pieces)!;

    public RecallNotice ToProto() => new()
    {
        Name = Name,
        Role = Role,
        Person = Person,
        Student = Recipient.StartsWith("studios/", StringComparison.Ordinal) ? Recipient : "",
        Pieces = { PieceNames },
        Reachable = IsReachable,
        Obstacle = Obstacle,
        ObstacleKind = Obstacles.KindOf(Obstacle),
        TellTime = Instants.ToTimestamp(TellMs),
        DeliverTime = Instants.ToTimestamp(DeliverMs),
        ChaseCount = ChaseCount,
        HandOverTime = Instants.ToTimestamp(HandOverMs),
        Answer = Answer ?? RecallNotice.Types.Answer.Unspecified,
        Answerer = Answerer ?? "",
        Note = Note ?? "",
        AnswerTime = Instants.ToTimestamp(AnswerMs),
    };

    private string? SealOf(string column, string text) => SealSalt is { } salt ? SealedText.SealOf(salt, column, text) : null;
}

/// <summary>How a recall ended: a row of `recall_closes`.</summary>
public sealed record CloseRecord(string Recall, string Outcome, string Gaps, string Closer, bool Released, long CloseMs);
