using Pourwright.Studio.Names;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Recalls;

/// <summary>What people are told of a recall: what it is about, what to do, whom to answer. No maker's name stands in them.</summary>
public static class RecallTexts
{
    private const string Careful =
        "Keep it off food and bare skin, and neither saw nor sand it: resin that is not hard all through irritates and sensitises, and so does its dust. "
        + "The safety data sheet, local code and licensed practice decide.";

    /// <summary>To the maker of pieces.</summary>
    /// <param name="labels">Of the pieces with them, then of those still in the house.</param>
    public static string ToMaker(string studio, string recall, IReadOnlyList<string> athome, IReadOnlyList<string> here)
    {
        var about = $"{studio} calls back work in which something of the resin may not be right; nobody knows yet whether it is.";
        var home = athome.Count == 0 ? "" : $" You have {Named(athome)}. {Careful} Please say whether you bring {It(athome)} back or keep {It(athome)}.";
        var house = here.Count == 0 ? "" : $" {TraceWords.Capital(Named(here))} {(here.Count == 1 ? "stays" : "stay")} with us and cannot be handed over until it is settled. Please say that you have read this.";
        return $"{about}{home}{house} Answer the studio in any way, and name {ResourceNames.IdOf(recall)}.";
    }

    /// <summary>To a contact of a site: what to set apart, and how to go on.</summary>
    public static string ToContact(RecallFrom from, string recall, string reason, string starter, RecallList list, int unreachableCount)
    {
        var id = ResourceNames.IdOf(recall);
        var home = list.Pieces.Count(piece => piece.Where == Where.HandedOver);
        var house = list.Pieces.Count(piece => piece.Where is Where.Curing or Where.InHouse or Where.Finished);
        var open = list.OpenMixes.Count == 0 ? ""
            : $" {TraceWords.Capital(TraceWords.Count(list.OpenMixes.Count, "mix", "mixes"))} may have resin left in the bucket: do not pour {(list.OpenMixes.Count == 1 ? "it" : "them")}.";
        var silent = unreachableCount == 0 ? ""
            : $" {TraceWords.Capital(TraceWords.Count(unreachableCount, "maker"))} cannot be written to: call or visit.";
        return $"Recall {id}, {from.InWords()}: {Sentence(reason)} Started by {starter}. "
            + $"Held: {TraceWords.Count(house, "piece")} in the house and {TraceWords.Grams(list.Stock.Sum(stock => stock.RemainingMassMg))} in {TraceWords.Count(list.Stock.Count, "container")}; set them apart and label them. "
            + $"{TraceWords.Capital(TraceWords.Count(home, "piece"))} with {(home == 1 ? "its maker" : "their makers")}.{open}{silent} The list: pourwright recall show {id}. Say that you have read this: pourwright recall ack.";
    }

    /// <summary>To a person who did not answer.</summary>
    public static string Again(string studio, string recall, RecallNotice.Types.Role role) => role == RecallNotice.Types.Role.Maker
        ? $"{studio} still waits for your answer to {ResourceNames.IdOf(recall)}, which concerns a piece you made. {Careful} Please answer the studio in any way: whether you have the piece, keep it or bring it back."
        : $"Recall {ResourceNames.IdOf(recall)} is not acknowledged by you yet. The list: pourwright recall show {ResourceNames.IdOf(recall)}.";

    /// <summary>To the owner, when writing is at its end.</summary>
    public static string GiveUp(string recall, int makerCount, int contactCount, IReadOnlyList<string> pieces)
    {
        var id = ResourceNames.IdOf(recall);
        var about = pieces.Count == 0 ? "" : $" ({TraceWords.List([.. pieces.Take(10)])}{(pieces.Count > 10 ? $" and {pieces.Count - 10} more" : "")})";
        return $"Recall {id}: no answer from {TraceWords.Count(makerCount, "maker")}{about} and {TraceWords.Count(contactCount, "contact")}. Nobody writes to them any more: call or visit, and record what they say: pourwright recall ack. Whom: pourwright recall show {id}.";
    }

    /// <summary>Why something is held, on its label and in refusals.</summary>
    public static string HoldReason(string recall, string reason) => Cut($"recall {ResourceNames.IdOf(recall)}: {reason}");

    public static string HoldReason(DefectWords defect) => Cut($"shares {defect.Level} with a piece that is {defect.Seen} ({ResourceNames.IdOf(defect.Name)})");

    private static string Cut(string text) => text.Length <= 500 ? text : text[..500];

    private static string Named(IReadOnlyList<string> labels) => labels.Count == 1 ? $"piece {labels[0]}" : $"pieces {TraceWords.List(labels)}";

    private static string It(IReadOnlyList<string> labels) => labels.Count == 1 ? "it" : "them";

    private static string Sentence(string text) => text.EndsWith('.') ? text : text + ".";
}

/// <summary>A defect in words: by name, what was seen, and what its sisters share with it.</summary>
public sealed record DefectWords(string Name, string Seen, string Level);
