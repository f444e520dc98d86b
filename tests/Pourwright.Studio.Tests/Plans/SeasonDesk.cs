using Pourwright.Studio.Classes;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Plans;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;
using LocalDays = Pourwright.Studio.Classes.Days;

namespace Pourwright.Studio.Tests.Plans;

/// <summary>Facts of small seasons: one site with a bench, a room and stations, one offering of a thin coat, one person.</summary>
internal static class SeasonDesk
{
    public const string Studio = "studios/oak", Site = "studios/oak/sites/north", Bench = "studios/oak/sites/north/benches/shelf";
    public const string Coat = "studios/oak/offerings/coat", Ana = "studios/oak/instructors/ana";

    /// <summary>A Monday.</summary>
    public static readonly DateOnly FirstDay = new(2026, 3, 2);

    private static readonly ResinKnowledge Coating = ResinKnowledge.Of(new ResinModels().Of(CureClass.FastCoating));

    public static SeasonFacts Facts(DateOnly? firstDay = null, int pourDays = 14) => new()
    {
        Studio = Studio,
        FirstDay = firstDay ?? FirstDay,
        PourDays = pourDays,
        NowMs = new DateTimeOffset((firstDay ?? FirstDay).AddDays(-10).ToDateTime(new(9, 0)), TimeSpan.Zero).ToUnixTimeMilliseconds(),
        SettledMs = new DateTimeOffset((firstDay ?? FirstDay).AddDays(-9).ToDateTime(new(9, 0)), TimeSpan.Zero).ToUnixTimeMilliseconds(),
        Sites = [SiteRow(Site, "Europe/Lisbon")],
        Benches = [BenchRow(Bench, Site, 8)],
        Rooms = [new() { Name = $"{Site}/rooms/hall", Site = Site, DisplayName = "Hall", Seats = 8, Etag = "" }],
        Stations = [StationRow("planer", Station.Types.Kind.Planer, 1), StationRow("saw", Station.Types.Kind.Saw, 1), StationRow("sanding", Station.Types.Kind.Sanding, 8)],
        Outages = [],
        Travel = [],
        Offerings = [new(OfferingRow(), Coating)],
        Instructors =
        [
            new()
            {
                Name = Ana, Studio = Studio, DisplayName = "Ana", Email = "", HomeSite = Site, Weekdays = Weekdays.All, DaysAWeek = 7,
                FarthestMinutes = 60, Etag = "", Offerings = [Coat],
            },
        ],
        Absences = [],
        Classes = [],
        Sessions = [],
    };

    public static PlannedSeason Season(SeasonFacts facts, HeldClasses held = HeldClasses.Stay) => SeasonOf.Decide(facts, new(), held);

    public static SiteRecord SiteRow(string name, string zone) => new()
    {
        Name = name, Studio = Studio, DisplayName = "North", TimeZone = zone, QuietStartMinute = 1260, QuietEndMinute = 420, ReminderSwingMs = 0,
        DewPointMarginCelsius = 3, Etag = "", OpeningDays = Weekdays.All, MorningStartMinute = 540, MorningEndMinute = 780,
        AfternoonStartMinute = 840, AfternoonEndMinute = 1080,
    };

    public static BenchFacts BenchRow(string name, string site, int places, double celsius = 21) => new(
        new() { Name = name, Site = site, DisplayName = "Shelf", PlannedTemperatureCelsius = celsius, BoardThicknessMm = 18, Places = places, Etag = "" },
        new() { FromMs = 0, Readings = [], IntervalMs = 900_000, PlannedCelsius = celsius });

    public static StationRecord StationRow(string id, Station.Types.Kind kind, int places) => new()
    {
        Name = $"{Site}/stations/{id}", Site = Site, DisplayName = id, Kind = kind, Places = places, MinutesADay = 360, Etag = "",
    };

    public static ClassRecord Class(string id, int seats = 4, CastingClass.Types.State state = CastingClass.Types.State.Requested) => new()
    {
        Name = $"{Studio}/classes/{id}", Studio = Studio, DisplayName = id, Offering = Coat, Seats = seats, Pieces = seats,
        FirstDate = LocalDays.ToColumn(FirstDay), LastDate = LocalDays.ToColumn(FirstDay.AddDays(13)), Weekdays = Weekdays.All, State = state, Etag = "",
        Sites = [Site],
    };

    /// <summary>Sessions by hand: the pour in the afternoon of a day, the machine day so many days later.</summary>
    public static IReadOnlyList<SessionRecord> Sessions(string castingClass, int pourDay, int gapDays) =>
    [
        SessionRecord.At(castingClass, Session.Types.Kind.Pour, SiteRow(Site, "Europe/Lisbon"), null, FirstDay.AddDays(pourDay), 840, 240, Ana),
        SessionRecord.At(castingClass, Session.Types.Kind.Machine, SiteRow(Site, "Europe/Lisbon"), null, FirstDay.AddDays(pourDay + gapDays), 540, 420, Ana),
    ];

    private static OfferingRecord OfferingRow() => new()
    {
        Name = Coat, Studio = Studio, DisplayName = "Coat", ResinSystem = "studios/oak/resinSystems/coat", DepthMm = 6, LengthMm = 300, WidthMm = 200,
        WoodShare = 0, ChannelWidthMm = null, Layers = "[]", PiecesPerStudent = 1, Seats = 4, PourMinutes = 240, MachineMinutes = 420, FinishMinutes = null,
        FinishAfterMs = null, FinishWithinDays = null, PlanerMinutesPerPiece = 10, SawMinutesPerPiece = 5, LongestGapDays = 10, SealCoatGPerM2 = 0,
        SealCoatResinSystem = null, LossShare = 0.12, MouldPrepDays = 1, Etag = "",
    };
}
