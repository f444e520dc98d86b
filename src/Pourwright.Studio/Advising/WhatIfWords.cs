using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using static Pourwright.Studio.Advising.AdvisingTerms;
using Verdict = Pourwright.V1.WhatIfAnswer.Types.Verdict;

namespace Pourwright.Studio.Advising;

/// <summary>An answer of the engine in words that the owner of a studio understands.</summary>
internal sealed class WhatIfWords
{
    /// <summary>Safe times closer than this are the same to a person, in h. Our choice.</summary>
    private const double SameHours = 0.5;

    private readonly Answer _answer;
    private readonly WhatIfFacts _facts;
    private readonly V1.Gate _gate;

    private WhatIfWords(Answer answer, WhatIfFacts facts, V1.Gate gate) => (_answer, _facts, _gate) = (answer, facts, gate);

    /// <summary>The whole answer.</summary>
    public static V1.WhatIfAnswer Answer(Answer answer, Question question, WhatIfFacts facts, V1.Gate gate)
    {
        var words = new WhatIfWords(answer, facts, gate);
        var told = new V1.WhatIfAnswer
        {
            Verdict = answer is Refused ? Verdict.Refused : Verdict.Possible,
            Sentence = SiteWords.Sentence(facts.Zone, words.Sentence),
            Before = words.Told(answer.Before),
            After = words.Told(answer.After),
            FirstPourTime = Instants.ToTimestamp(facts.FirstPourMs),
            RoomAssumption = facts.RoomAssumption,
            ModelRevision = string.Join(" + ", question.Piece.Layers.Select(layer => layer.Resin.Revision).Distinct()),
        };
        if (answer is Refused refused) words.Object(told, refused);
        if (answer.Change is HoldRoom hold) words.Hold(told, hold);
        told.Cautions.Add(words.Cautions());
        return told;
    }

    private V1.WhatIfAnswer.Types.Outlook Told(Outlook outlook) => new()
    {
        SessionTime = At(outlook.SessionAtHours, _facts.FirstPourMs),
        Gate = Gate(_gate, outlook.Rung.Times, (outlook.Rung as Stalls)?.ToProto(), _facts.FirstPourMs),
        ReadyShareRatio = outlook.ShareReady,
        Safe = outlook.IsSafe,
        Peak = outlook.Peak.ToProto(),
    };

    private void Hold(V1.WhatIfAnswer told, HoldRoom hold)
    {
        told.HoldTemperatureCelsius = hold.Celsius;
        told.HoldFromTime = At(hold.FromHours, _facts.FirstPourMs);
        told.HoldUntilTime = At(hold.UntilHours, _facts.FirstPourMs);
    }

    private void Object(V1.WhatIfAnswer told, Refused refused)
    {
        told.Objection = refused.Objection.ToProto();
        told.WarmFromTime = At(refused.WaitUntilHours, _facts.FirstPourMs);
        told.ObjectionText = SiteWords.Sentence(_facts.Zone, time => refused.Objection switch
        {
            Objection.NoWindow => "By the time a layer has cooled it no longer bonds. Way out: let it harden until it sands, sand it to a key, wipe it and pour, or take "
                + "another number of layers",
            Objection.NotByThen => $"Over {Whole(WhatIf.WarmestCelsius)} °C people, wood and data sheets rarely allow. Way out: begin to warm sooner, once the peak is past, "
                + "or move the session",
            _ => $"Its peak would lie between {Whole(refused.After.Peak.LowCelsius)} and {Whole(refused.After.Peak.HighCelsius)} °C, margin "
                + $"{Ratio(refused.After.Peak.RunawayMargin)}, instead of {Whole(refused.Before.Peak.LowCelsius)} to {Whole(refused.Before.Peak.HighCelsius)} °C, margin "
                + $"{Ratio(refused.Before.Peak.RunawayMargin)}: {Fed(refused)}",
        });

        string Fed(Refused tooHot) => tooHot.WaitUntilHours is { } wait
            ? $"warmth before the peak feeds it. Way out: warm from {SiteWords.Sentence(_facts.Zone, time => time(Ms(wait, _facts.FirstPourMs)))[..^1]} on, when nineteen cases in twenty have it behind them"
            : "it could run away. Way out: thinner layers, a cooler room or a slower resin";
    }

    private string Sentence(Func<long, string> time)
    {
        var (before, after) = (_answer.Before, _answer.After);
        string Of(double hours) => time(Ms(hours, _facts.FirstPourMs));
        return _answer switch
        {
            Refused { Objection: Objection.TooHot } refused => $"No: {Lead(Of)} it may reach {Whole(after.Peak.HighCelsius)} °C instead of {Whole(before.Peak.HighCelsius)} °C"
                + (refused.WaitUntilHours is { } wait ? $"; its room may be warmed from {Of(wait)} on" : ""),
            Refused { Objection: Objection.NoWindow } => $"No: {Lead(Of)} a layer does not become fit for the next one without sanding",
            Refused => $"No room up to {Whole(WhatIf.WarmestCelsius)} °C makes the piece {Fit()} by {Of(before.SessionAtHours)}"
                + (before.Rung.Times.SafeHours is { } own ? $"; left alone it is by {Of(own)}" : ""),
            { Change: null } => $"Nothing needs to change: the piece is {Fit()} by {Of(before.Rung.Times.SafeHours!.Value)}, before its session on {Of(before.SessionAtHours)}",
            { Change: MoveSession } => $"On {Of(after.SessionAtHours)} instead of {Of(before.SessionAtHours)} {Share(after)} of 100 pieces are {Fit()} instead of {Share(before)}"
                + (after.IsSafe ? ": that is safe" : after.Rung.Times.SafeHours is { } safe ? $": safe is only {Of(safe)}" : ": not safe, and never without warmth"),
            _ => $"{Capital(Lead(Of))} the piece {When(before.Rung.Times.SafeHours, after.Rung.Times.SafeHours, Of)}, {InTime(after, Of)}",
        };
    }

    private string When(double? before, double? after, Func<double, string> of) => (before, after) switch
    {
        (_, null) => $"still is not sure to be {Fit()} ever",
        (null, { } then) => $"is {Fit()} by {of(then)}, which the room as it is does not promise ever",
        ({ } now, { } then) when Math.Abs(now - then) < SameHours => $"is {Fit()} by {of(then)}, no other than without it",
        ({ } now, { } then) => $"is {Fit()} {(then < now ? "by" : "only by")} {of(then)} instead of {of(now)}",
    };

    private static string InTime(Outlook after, Func<double, string> of) => after.IsSafe
        ? $"in time for {of(after.SessionAtHours)}"
        : $"too late for {of(after.SessionAtHours)} ({Share(after)} of 100 pieces are ready then)";

    private string Lead(Func<double, string> of) => _answer.Change switch
    {
        HoldRoom hold => $"held at {Tenth(hold.Celsius)} °C from {of(Math.Max(0, hold.FromHours))}"
            + (double.IsFinite(hold.UntilHours) ? $" until {of(hold.UntilHours)}" : ""),
        SplitPour split => $"poured in {split.Layers} {(split.Layers == 1 ? "layer" : "layers")}",
        _ => $"poured with {_facts.Other?.DisplayName}",
    };

    private string Fit() => _gate switch
    {
        V1.Gate.FirstGel or V1.Gate.Gel => "gelled",
        V1.Gate.Demold => "safe to demold",
        V1.Gate.Sand => "safe to sand",
        V1.Gate.FullCure => "fully cured",
        _ => "safe to saw and plane",
    };

    private IEnumerable<V1.Caution> Cautions() =>
    [
        .. _answer.Change is HoldRoom ? [Refusals.Cautions.Of(Reasons.WarmEvenly,
            "Warm the whole room evenly, as far as the data sheet allows: no flame, no heat gun, no blower on the piece. A gas heater without a flue adds water to the air.")]
            : (V1.Caution[])[],
        Refusals.Cautions.Of(Reasons.TouchDecides,
            "A forecast is half of an answer: test by touch first, where it is thickest, thinnest and coldest. Data sheet and safety data sheet decide where they say less."),
        .. _facts.RoomCautions,
    ];

    private static string Share(Outlook outlook) => Whole(100 * outlook.ShareReady);

    private static string Capital(string words) => char.ToUpperInvariant(words[0]) + words[1..];
}
