namespace Pourwright.Studio.Trace;

/// <summary>What stands under every trace, since the next thing people do is to act on it.</summary>
public static class TraceCautions
{
    private const string Deciding = "The safety data sheets, local code and licensed practice decide; this report does not replace them.";

    public static IReadOnlyList<string> OfPiece { get; } =
    [
        "This report says what is recorded and who shares it. It names no cause.",
        "Hold sisters and shared lots before arguing about the cause: to wait costs a day, to go on may cost the next class.",
        "Treat soft or sticky places as uncured resin: it irritates and sensitises. Keep it off skin, with the gloves that the data sheet names.",
        "Do not saw, plane or sand what is not hard all through: dust of part-cured resin irritates and sensitises, and gums the tools.",
        Deciding,
    ];

    public static IReadOnlyList<string> OfLot { get; } =
    [
        "This report says what is recorded and who shares it. It names no cause.",
        "Held containers: closed, labelled, apart from the others. Keep a sample and the label; the supplier will ask for both.",
        "Do not mix resin and hardener to use them up: a large batch heats, smokes and burns. Waste goes where local rules say.",
        "Who has a soft or sticky piece should keep it off skin and food, and neither saw nor sand it.",
        Deciding,
    ];

    /// <summary>How shares of a container with several lots were reckoned.</summary>
    public const string Blending =
        "A container that was topped up is taken to be well stirred: every draw holds its lots in proportion to what was in it " +
        "at that moment, in whole milligrams. Stirring is assumed, not recorded: a lot may have reached less, or more, of what " +
        "is listed, but nothing that is not listed.";
}
