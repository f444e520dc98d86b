using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>A cure room held warmer than planned, over whole days.</summary>
/// <param name="Site">Where.</param>
/// <param name="FirstDay">From this day's first slot on.</param>
/// <param name="LastDay">To the end of this day.</param>
/// <param name="Kelvin">By how much.</param>
public sealed record RoomWarming(int Site, int FirstDay, int LastDay, double Kelvin);

/// <summary>What the cure model says of a room that is warmed.</summary>
public interface IWarming
{
    /// <summary>
    /// By how many K the room may be warmed at most for what is poured in this slot: no resin there gets hotter than it and its
    /// mould bear, and what the data sheet allows is kept. 0 where it must not be warmed.
    /// </summary>
    double MostKelvin(int offering, int site, int pourSlot, int pieces);

    /// <summary>The cure gaps of the season with the room so warmed, for every pour that lies there then.</summary>
    ICureGaps Warmed(RoomWarming warming);
}
