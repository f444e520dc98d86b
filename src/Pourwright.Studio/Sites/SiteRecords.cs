using Google.Protobuf.WellKnownTypes;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>A row of `studios`.</summary>
public sealed record StudioRecord
{
    public required string Name { get; init; }
    public required string DisplayName { get; init; }

    public V1.Studio ToProto() => new() { Name = Name, DisplayName = DisplayName };
}

/// <summary>A row of `sites`.</summary>
public sealed record SiteRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string DisplayName { get; init; }
    public required string TimeZone { get; init; }
    public required int QuietStartMinute { get; init; }
    public required int QuietEndMinute { get; init; }
    public required long ReminderSwingMs { get; init; }
    public required double DewPointMarginCelsius { get; init; }

    /// <summary>Bits, see <see cref="Weekdays"/>.</summary>
    public int OpeningDays { get; init; } = TeachingTimes.Default.OpeningDays;

    public int MorningStartMinute { get; init; } = TeachingTimes.Default.MorningStartMinute;
    public int MorningEndMinute { get; init; } = TeachingTimes.Default.MorningEndMinute;
    public int AfternoonStartMinute { get; init; } = TeachingTimes.Default.AfternoonStartMinute;
    public int AfternoonEndMinute { get; init; } = TeachingTimes.Default.AfternoonEndMinute;
    public required string Etag { get; init; }

    public TimeZoneInfo Zone => TimeZoneInfo.FindSystemTimeZoneById(TimeZone);

    public Site ToProto(IEnumerable<ContactRecord> contacts) => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        TimeZone = TimeZone,
        QuietHoursStart = WholeMinutes.ToTimeOfDay(QuietStartMinute),
        QuietHoursEnd = WholeMinutes.ToTimeOfDay(QuietEndMinute),
        ReminderSwing = Duration.FromTimeSpan(TimeSpan.FromMilliseconds(ReminderSwingMs)),
        DewPointMarginCelsius = DewPointMarginCelsius,
        TeachingHours = new()
        {
            OpeningDays = { Weekdays.List(OpeningDays) },
            MorningStart = WholeMinutes.ToTimeOfDay(MorningStartMinute),
            MorningEnd = WholeMinutes.ToTimeOfDay(MorningEndMinute),
            AfternoonStart = WholeMinutes.ToTimeOfDay(AfternoonStartMinute),
            AfternoonEnd = WholeMinutes.ToTimeOfDay(AfternoonEndMinute),
        },
        Etag = Etag,
        Contacts = { contacts.Select(contact => contact.ToProto()) },
    };
}

/// <summary>A row of `contacts`.</summary>
public sealed record ContactRecord
{
    public required Contact.Types.Role Role { get; init; }
    public required string DisplayName { get; init; }
    public required string Email { get; init; }
    public required string WebhookUri { get; init; }

    public Contact ToProto() => new() { Role = Role, DisplayName = DisplayName, Email = Email, WebhookUri = WebhookUri };
}

/// <summary>A row of `benches`.</summary>
public sealed record BenchRecord
{
    public required string Name { get; init; }
    public required string Site { get; init; }
    public required string DisplayName { get; init; }
    public required double? PlannedTemperatureCelsius { get; init; }
    public required double BoardThicknessMm { get; init; }

    /// <summary>Pieces that may lie and cure at a time.</summary>
    public int Places { get; init; } = DescribeBench.PlacesDefault;
    public string Etag { get; init; } = "";

    public Bench ToProto()
    {
        var bench = new Bench { Name = Name, DisplayName = DisplayName, BoardThicknessMm = BoardThicknessMm, PlaceCount = Places, Etag = Etag };
        if (PlannedTemperatureCelsius is { } celsius) bench.PlannedTemperatureCelsius = celsius;
        return bench;
    }
}

/// <summary>A row of `sensors`. Without a bench it watches the room.</summary>
public sealed record SensorRecord
{
    public required string Name { get; init; }
    public required string Site { get; init; }
    public required string DisplayName { get; init; }
    public required string? Bench { get; init; }
    public required long ReportIntervalMs { get; init; }
    public long? LastReadingMs { get; init; }

    public Sensor ToProto() => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        Bench = Bench ?? "",
        ReportInterval = Duration.FromTimeSpan(TimeSpan.FromMilliseconds(ReportIntervalMs)),
    };
}
