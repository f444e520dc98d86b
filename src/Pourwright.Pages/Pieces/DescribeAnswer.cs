using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Pages.Words;
using Pourwright.V1;
using Objection = Pourwright.V1.WhatIfAnswer.Types.Objection;
using Outlook = Pourwright.V1.WhatIfAnswer.Types.Outlook;
using Verdict = Pourwright.V1.WhatIfAnswer.Types.Verdict;

namespace Pourwright.Pages.Pieces;

/// <summary>The answer to a change that somebody thinks of, in the words of the page: out of its fields.</summary>
public sealed class DescribeAnswer(WhatIfAnswer answer, Sayings sayings)
{
    /// <summary>Safe times closer than this are the same to a person. Our choice, as the API's.</summary>
    private static readonly TimeSpan Same = TimeSpan.FromMinutes(30);

    public bool IsRefused => answer.Verdict == Verdict.Refused;

    public Said Sentence => sayings.Say($"WhatIf.{Kind}", Facts, answer.Sentence);

    /// <summary>Why not, and the way out; null where nothing speaks against it.</summary>
    public Said? Why => answer.ObjectionText.Length > 0 ? sayings.Say($"WhatIf.{Kind}_WHY", Facts, answer.ObjectionText) : null;

    private string Kind => answer switch
    {
        { Objection: Objection.TooHot } => "TOO_HOT",
        { Objection: Objection.NotByThen } => "NOT_BY_THEN",
        { Verdict: Verdict.Refused } => "OTHER",
        { HasHoldTemperatureCelsius: true } => "ROOM_HELD",
        _ when !Equals(answer.Before.SessionTime, answer.After.SessionTime) => "SESSION_MOVED",
        _ => "NOTHING_NEEDED",
    };

    private Dictionary<string, string> Facts => new()
    {
        ["hold_temperature_celsius"] = answer.HasHoldTemperatureCelsius ? Text(answer.HoldTemperatureCelsius) : "",
        ["hold_from_time"] = Text(answer.HoldFromTime),
        ["hold_until_time"] = Text(answer.HoldUntilTime),
        ["warm_from_time"] = Text(answer.WarmFromTime),
        ["safe"] = answer.After.Safe ? "yes" : "no",
        ["change"] = Change(answer.Before.Gate?.SafeTime, answer.After.Gate?.SafeTime),
        ["session_before_time"] = Text(answer.Before.SessionTime),
        ["session_after_time"] = Text(answer.After.SessionTime),
        ["before_time"] = Text(answer.Before.Gate?.SafeTime),
        ["after_time"] = Text(answer.After.Gate?.SafeTime),
        ["share_before_percent"] = Percent(answer.Before),
        ["share_after_percent"] = Percent(answer.After),
        ["peak_before_celsius"] = Text(answer.Before.Peak?.HighCelsius),
        ["peak_after_celsius"] = Text(answer.After.Peak?.HighCelsius),
        ["margin_before_ratio"] = Text(answer.Before.Peak?.RunawayMarginRatio, "0.00"),
        ["margin_after_ratio"] = Text(answer.After.Peak?.RunawayMarginRatio, "0.00"),
    };

    private static string Change(Timestamp? before, Timestamp? after) => before is null || after is null ? ""
        : (after.ToDateTimeOffset() - before.ToDateTimeOffset()).Duration() < Same ? "same"
        : after < before ? "sooner" : "later";

    private static string Percent(Outlook outlook) => Text(100 * outlook.ReadyShareRatio, "0");

    private static string Text(Timestamp? instant) => instant is null ? "" : instant.ToDateTimeOffset().ToString("u", CultureInfo.InvariantCulture);

    private static string Text(double? value, string format = "0.0") => value?.ToString(format, CultureInfo.InvariantCulture) ?? "";
}
