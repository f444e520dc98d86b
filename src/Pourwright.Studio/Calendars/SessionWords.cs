using Pourwright.Studio.Names;

namespace Pourwright.Studio.Calendars;

/// <summary>What a person reads in a calendar.</summary>
internal static class SessionWords
{
    private const string Deference = "Safety data sheets, local code, the rules of the house and your instructor go before these lines.";

    /// <summary>Some clients show a cancelled event like any other: the word stands first.</summary>
    public static string Summary(CalendarSession session) => $"{(session.IsCancelled ? "Cancelled: " : "")}{session.ClassTitle}: {Kind(session)}";

    public static string Location(CalendarSession session) =>
        session.PlaceTitle.Length == 0 ? session.SiteTitle : $"{session.SiteTitle}, {session.PlaceTitle}";

    public static string Description(CalendarSession session) =>
        string.Join("\n\n", ((string[])[Change(session), $"With {session.InstructorTitle}.", Preparation(session)]).Where(text => text.Length > 0));

    private static string Kind(CalendarSession session) => ResourceNames.IdOf(session.Name) switch
    {
        "machine" => "machine day",
        var id => id,
    };

    private static string Change(CalendarSession session) => (session.IsCancelled, session.ChangeReason) switch
    {
        (true, "") => "This session is cancelled.",
        (true, var reason) => $"This session is cancelled: {reason}",
        (false, "") => "",
        (false, var reason) => $"Changed: {reason}",
    };

    /// <summary>What to wear, and what hurts people: common practice, no source.</summary>
    private static string Preparation(CalendarSession session) => session.IsCancelled ? "" : ResourceNames.IdOf(session.Name) switch
    {
        "pour" =>
            "Wear long sleeves, closed shoes and clothes that may be spoiled; tie back long hair and leave jewellery at home. Gloves and "
            + "eye protection wherever resin is open: uncured resin irritates and can make allergic for good. Tell your instructor "
            + $"beforehand of allergies and asthma. {Deference}",
        "machine" =>
            "Wear closed shoes and close-fitting sleeves; tie back long hair. No gloves, scarves or jewellery near running machines; eye, "
            + "ear and dust protection at each of them. A piece is cut only after a touch test on the day: one that is still soft waits. "
            + Deference,
        "finish" =>
            "Wear gloves and clothes that may be spoiled. Rags with oil can set themselves on fire: leave them where your instructor says, "
            + $"never in a bin. {Deference}",
        _ => Deference,
    };
}
