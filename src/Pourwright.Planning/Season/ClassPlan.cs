namespace Pourwright.Planning.Season;

/// <summary>Where and when each class is held.</summary>
/// <param name="Placed">At most one a class; classes without are not held.</param>
public sealed record ClassPlan(IReadOnlyList<Placement> Placed)
{
    /// <summary>Students of the classes that are held.</summary>
    public int Students(SeasonCase season) => Placed.Sum(p => season.Classes[p.Class].Students);
}

/// <summary>One class in a plan.</summary>
/// <param name="Class">Which.</param>
/// <param name="Site">Where, all of its sessions.</param>
/// <param name="Pour">A slot.</param>
/// <param name="Machine">A whole day: both slots; <see cref="Attendance.Slot"/> is its morning.</param>
/// <param name="Finish">A slot; null where the offering has none.</param>
public sealed record Placement(int Class, int Site, Attendance Pour, Attendance Machine, Attendance? Finish)
{
    /// <summary>Two or three, in their order.</summary>
    public IEnumerable<Attendance> Sessions => Finish is null ? [Pour, Machine] : [Pour, Machine, Finish];

    /// <summary>Half days of all sessions, each with who teaches it: the machine day is two of them.</summary>
    public IEnumerable<Attendance> HalfDays =>
        [Pour, Machine, Machine with { Slot = Machine.Slot + 1 }, .. Finish is null ? Array.Empty<Attendance>() : [Finish]];
}

/// <summary>One session: when it begins and who teaches it.</summary>
public sealed record Attendance(int Slot, int Instructor)
{
    /// <summary>Local day.</summary>
    public int Day => Slot / 2;
}
