using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using static Pourwright.Studio.Recalls.RecallReport;
using static Pourwright.Studio.Trace.TraceWords;
using Closure = Pourwright.V1.Reconciliation.Types.Closure;

namespace Pourwright.Studio.Recalls;

/// <summary>Words a drill: what it showed, how long it took, and what it does not prove.</summary>
public static class DrillCertificate
{
    /// <summary>Mixes that close are listed up to so many, then counted.</summary>
    private const int ClosedMixesListed = 20;

    private static readonly string[] NotProved =
    [
        "It shows that the records answer, not that they are true: a pour, a top-up or a can that nobody wrote down is on no list.",
        "Nobody was told: whether addresses work and people answer is not shown, only how many have a way to be written to.",
        "Nothing was held: whether people find the cans and pieces and set them apart is not shown. Do that by hand, and write the time beside it.",
        "The times are the program's. Targets of our own, no source: a list of 10,000 pieces within 10 seconds, the drill with all people within 2 hours.",
        "Masses close within what scales and pots leave open; a mistake of two that cancel each other does not show.",
        TraceCautions.Blending,
    ];

    public static Report Write(Recall drill, TracePlaces places)
    {
        var (zone, proof, status) = (ZoneOf(drill, places), drill.DrillProof, drill.Status);
        return new()
        {
            Kicker = $"{places.Studio} · recall drill",
            Title = $"Drill certificate {Id(drill.Name)} · {RecallFrom.Of(drill.Scope).InWords()}",
            Headline = Headline(drill),
            Alarm = proof is { HasMet: true, Met: false } || drill.Gaps.Count > 0,
            Made = $"Run {Local(status.StartTime, zone)}",
            MadeTime = status.StartTime.ToDateTimeOffset(),
            Blocks =
            [
                .. Section("The drill", new FactsBlock(
                [
                    ("Run by", drill.Starter), ("Started", Local(status.StartTime, zone)),
                    ("List complete", $"{Elapsed(status.StartTime, status.ListTime)} after the start"),
                    ("All computed", $"{Elapsed(status.StartTime, proof.EndTime)} after the start"),
                    ("Would be told", $"{Count(status.PersonCount, "person", "persons")}, {Number(status.ReachableCount)} of them with a way to be written to"),
                    ("Closed", drill.Outcome.Length == 0 ? "not yet" : $"{drill.Outcome} ({drill.Closer})"),
                ])),
                .. Section("Backward from one piece", new FactsBlock(Backward(proof))),
                .. Section("Masses", Masses(proof), ClosedMixes(proof)),
                .. Section("Gaps", drill.Gaps.Count == 0 ? new WordsBlock("The records show none.") : new SentencesBlock(drill.Gaps)),
                .. List(drill.List, places, drill: true),
                .. Section("What this does not prove", new SentencesBlock(NotProved)),
            ],
        };
    }

    private static string Headline(Recall drill)
    {
        var status = drill.Status;
        var met = drill.DrillProof switch
        {
            { HasMet: false } => "The piece traced backward is not of this scope.",
            { Met: true } => "The way back from one piece meets the way forward.",
            _ => "THE WAY BACK CONTRADICTS THE WAY FORWARD.",
        };
        return $"{Capital(Count(status.PieceCount, "piece"))} found in {Elapsed(status.StartTime, status.ListTime)}, {Number(status.HandedOverCount)} of them with their makers; {Grams(status.StockMassMg)} of stock in {Count(drill.List.Stock.Count, "container")}. "
            + $"{met} {(drill.Gaps.Count == 0 ? "No gap found" : Capital(Count(drill.Gaps.Count, "gap")) + " found")}. Nobody was told, nothing was held.";
    }

    private static IReadOnlyList<(string, string)> Backward(DrillProof proof) =>
    [
        ("Piece", $"{Id(proof.Piece)}{(proof.Seed.Length > 0 ? $", chosen by '{proof.Seed}'" : ", named")}"),
        ("Mixes", Ids(proof.Mixes)), ("Containers", Ids(proof.Containers)), ("Lots", Ids(proof.Lots)),
    ];

    private static GridBlock? Masses(DrillProof proof) => Grid(
        [new("Of"), new("Received", true), new("Used", true), new("Left", true), new("Thrown away", true), new("Unexplained", true), new("Open by weighing", true), new("Closes")],
        Shown(proof).Select(balance => (string[])
        [
            Id(balance.Name), Grams(balance.ReceivedMassMg), Grams(balance.UsedMassMg), balance.HasLeftMassMg ? Grams(balance.LeftMassMg) : Unknown,
            Grams(balance.WasteMassMg), balance.HasUnexplainedMassMg ? Signed(balance.UnexplainedMassMg) : Unknown,
            $"{Grams(balance.ToleranceMassMg)} ({Number(balance.WeighingCount)} × {Grams(balance.ResolutionMassMg)}{(balance.PotResidueMassMg > 0 ? $" + {Number(balance.PotCount)} × {Grams(balance.PotResidueMassMg)}" : "")})",
            Of(balance.Closure),
        ]));

    private static WordsBlock? ClosedMixes(DrillProof proof) => proof.Reconciliations.Count - Shown(proof).Count() is > 0 and var more
        ? new($"{Capital(Count(more, "other mix", "other mixes"))} close{(more == 1 ? "s" : "")} within what weighing leaves open.")
        : null;

    /// <summary>Lots, all that does not close, and as many mixes that do as a page takes.</summary>
    private static IEnumerable<Reconciliation> Shown(DrillProof proof)
    {
        var closed = proof.Reconciliations.Where(balance => balance.Closure == Closure.Closes && ResourceKind.Mix.Matches(balance.Name)).Skip(ClosedMixesListed).ToHashSet();
        return proof.Reconciliations.Where(balance => !closed.Contains(balance));
    }

    /// <summary>Missing is positive, too much negative: the sign is what tells a loss from a wrong book.</summary>
    private static string Signed(long massMg) => massMg > 0 ? $"+{Grams(massMg)}" : Grams(massMg);

    private static string Of(Closure closure) => closure switch
    {
        Closure.Closes => "yes",
        Closure.Missing => "NO: missing",
        Closure.TooMuch => "NO: too much",
        _ => "not counted",
    };

    private static string Ids(IEnumerable<string> names) => string.Join(", ", names.Select(Id)) is { Length: > 0 } ids ? ids : Unknown;

    private static string Id(string name) => ResourceNames.IdOf(name);
}
