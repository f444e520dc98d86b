using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Instructors;

/// <summary>What may be said of an instructor, and what it means where nothing is.</summary>
public static class DescribeInstructor
{
    /// <summary>Five days a week, an hour from home: common practice, no source.</summary>
    private const int DaysAWeekDefault = 5, FarthestMinutesDefault = 60;

    private const int OfferingsMax = 200;

    private static readonly string[] Changeable =
        [.. Instructor.Descriptor.Fields.InDeclarationOrder().Select(field => field.Name).Except(["name", "etag"])];

    /// <summary>The row of an instructor as described. Home site and offerings exist: whoever calls has looked.</summary>
    public static InstructorRecord Decide(string name, string studio, Instructor instructor, string etag) => new()
    {
        Name = name,
        Studio = studio,
        DisplayName = instructor.DisplayName,
        Email = instructor.Email,
        HomeSite = instructor.HomeSite,
        Weekdays = Weekdays.BitsOrAll(instructor.Weekdays),
        DaysAWeek = instructor.HasWeeklyDayCount ? instructor.WeeklyDayCount : DaysAWeekDefault,
        FarthestMinutes = WholeMinutes.Of(instructor.FarthestTravelDuration) ?? FarthestMinutesDefault,
        Etag = etag,
        Offerings = [.. instructor.Offerings],
    };

    /// <summary>The instructor after an update.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for a path that cannot change, ETAG_STALE where the instructor was changed meanwhile.</exception>
    public static Instructor Merge(Instructor current, Instructor change, FieldMask? mask) => UpdateMask.Merge(current, change, mask, Changeable);

    /// <summary>Checks what is said.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void Check(Instructor instructor, string studio)
    {
        var checks = new FieldChecks()
            .Text("instructor.display_name", instructor.DisplayName, 80)
            .Email("instructor.email", instructor.Email)
            .Name("instructor.home_site", instructor.HomeSite, ResourceKind.Site, studio)
            .Days("instructor.weekdays", instructor.Weekdays)
            .Minutes("instructor.farthest_travel_duration", instructor.FarthestTravelDuration, 0, 24 * 60)
            .Require(instructor.Offerings.Count <= OfferingsMax, "instructor.offerings", $"must be at most {OfferingsMax}.", $"{instructor.Offerings.Count}");
        if (instructor.HasWeeklyDayCount) checks.Within("instructor.weekly_day_count", instructor.WeeklyDayCount, 1, 7, "days");
        for (var i = 0; i < Math.Min(instructor.Offerings.Count, OfferingsMax); i++)
            checks
                .Name($"instructor.offerings[{i}]", instructor.Offerings[i], ResourceKind.Offering, studio)
                .Require(instructor.Offerings.IndexOf(instructor.Offerings[i]) == i, $"instructor.offerings[{i}]", "stands there twice; name it once.", instructor.Offerings[i]);
        checks.ThrowIfAny();
    }
}
