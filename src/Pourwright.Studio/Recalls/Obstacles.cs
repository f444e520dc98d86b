namespace Pourwright.Studio.Recalls;

/// <summary>Why somebody cannot be written to, and what to do: the sentence is kept with a notice, its kind is read off it.</summary>
public static class Obstacles
{
    public const string
        NoMaker = "No maker is recorded. Ask who taught the class, and look at its roster.",
        NotOnRecord = "No student of this name is on record. Look at the roster of the class, and call or visit.",
        NameOfSeveral = "Several students bear this name. Ask who made the piece, then call the right one.",
        NoConsent = "Did not agree to messages. Tell them in person, or call.",
        NoAddress = "No e-mail address is recorded. Tell them in person, or call.";

    /// <summary>Empty for no obstacle, and for one that an earlier release worded otherwise.</summary>
    public static string KindOf(string obstacle) => obstacle switch
    {
        NoMaker => "NO_MAKER",
        NotOnRecord => "NOT_ON_RECORD",
        NameOfSeveral => "NAME_OF_SEVERAL",
        NoConsent => "NO_CONSENT",
        NoAddress => "NO_ADDRESS",
        _ => "",
    };
}
