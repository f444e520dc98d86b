using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Trace;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Trace;

/// <summary>
/// An invented piece with two pours from two mixes: the first mix drew on a tank that holds two lots, its scale is not recorded, the
/// room logger was silent for five hours of the night, and the piece was demolded an hour before its safe time.
/// </summary>
public static class InventedPiece
{
    public const string Studio = "studios/alder";
    public const string Site = $"{Studio}/sites/north";
    public const string Bench = $"{Site}/benches/shelf";
    public const string Name = $"{Studio}/pieces/river-7";

    public static readonly TimeZoneInfo Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Vienna");

    /// <summary>Saturday 10:00 in Vienna.</summary>
    public static readonly DateTimeOffset FirstPour = new(2026, 3, 7, 9, 0, 0, TimeSpan.Zero);

    /// <summary>Monday 12:00 in Vienna.</summary>
    public static readonly DateTimeOffset Now = new(2026, 3, 9, 11, 0, 0, TimeSpan.Zero);

    public static readonly TracePlaces Places = new(
        "Alder",
        new Dictionary<string, (string, TimeZoneInfo)> { [Site] = ("North hall", Zone), [$"{Studio}/sites/south"] = ("South shed", Zone) },
        new Dictionary<string, string> { [Bench] = "Shelf 2" },
        new Dictionary<string, string> { [$"{Studio}/resinSystems/deep"] = "Deep casting" });

    public static readonly Lot OldResin = Lot("a-4471", "RX-4471", Part.A);
    public static readonly Lot NewResin = Lot("a-4502", "RX-4502", Part.A, held: "soft pieces of class 12");
    public static readonly Lot Hardener = Lot("b-0917", "HD-0917", Part.B);

    public static PieceFacts Facts() => new()
    {
        Piece = Piece(),
        Zone = Zone,
        Defects =
        [
            new()
            {
                Name = $"{Studio}/defects/d-1", Piece = Name, Kind = Defect.Types.Kind.SoftPatches, FindTime = At(48.5), Finder = "Ivo",
                Note = "Nail goes in along the thin edge, about 20 cm of it.", PhotoUris = { "https://photos.alder.example/d-1" },
            },
        ],
        Pours = [First(), Second()],
        Checks = Checks(),
        Steps =
        [
            new() { Name = $"{Name}/steps/s-1", Kind = Step.Types.Kind.Demold, StepTime = At(46), Worker = "Ivo", Cautions = { new Caution { Reason = "GATE_NOT_REACHED", Text = "The safe time to demold is 9 Mar 2026 09:00 +01:00; test by touch first." } } },
        ],
        FirstForecast = Forecast(1, 44, 14, 34, 52),
        LastForecast = Forecast(4, 47, 15, 38, 58),
        Stays = [new(Bench, FirstPour.ToUnixMs(), At(46).ToUnixMs())],
        CureReadings = new([.. Room()], 600_000),
        MinCureTemperatureCelsius = 18,
        Sisters =
        [
            Shared(SharedKinds.Mix, $"{Studio}/mixes/m-0307a", [$"{Studio}/pieces/river-8"]),
            new() { Kind = SharedKinds.Mix, Value = $"{Studio}/mixes/m-0307b" },
            Shared(SharedKinds.Container, $"{Studio}/containers/tank-a", [.. Pieces("river", 8, 3)]),
            Shared(SharedKinds.Lot, NewResin.Name, [.. Pieces("river", 8, 3)]),
            Shared(SharedKinds.Lot, OldResin.Name, [.. Pieces("river", 8, 3), .. Pieces("tray", 1, 14)]),
            Shared(SharedKinds.BenchDay, $"{Bench} 2026-03-07", [.. Pieces("river", 8, 2)]),
            Shared(SharedKinds.Mixer, "Asa", [.. Pieces("river", 8, 1)]),
            new() { Kind = SharedKinds.Scale, Value = "bench scale 2" },
        ],
    };

    public static DateTimeOffset TimeAt(double hours) => FirstPour.AddHours(hours);

    private static Timestamp At(double hours) => Timestamp.FromDateTimeOffset(TimeAt(hours));

    private static long ToUnixMs(this Timestamp time) => Instants.ToUnixMs(time);

    // One of them, the first, has a defect.
    private static SharedFactor Shared(string kind, string value, string[] pieces) =>
        new() { Kind = kind, Value = value, Pieces = { pieces }, PieceCount = pieces.Length, DefectCount = 1 };

    private static IEnumerable<string> Pieces(string stem, int first, int count) =>
        Enumerable.Range(first, count).Select(number => $"{Studio}/pieces/{stem}-{number}");

    private static Piece Piece() => new()
    {
        Name = Name, Site = Site, Label = "7", Maker = "Ana", CastingClass = "River board, March", Mould = "Tray 40 × 90 cm",
        WoodSpecies = "oak", State = V1.Piece.Types.State.Demolded, Bench = Bench,
    };

    private static Lot Lot(string id, string code, Part part, string held = "") => new()
    {
        Name = $"{Studio}/lots/{id}", Part = part, ResinSystem = $"{Studio}/resinSystems/deep", Supplier = "Harbour Supplies", SupplierLotCode = code,
        ExpiryDate = part == Part.A ? new Date { Year = 2026, Month = 12, Day = 1 } : null, ReceiveTime = At(-400), ReceivedMassMg = 20_000_000,
        State = held.Length > 0 ? V1.Lot.Types.State.Held : V1.Lot.Types.State.Released, HoldReason = held,
    };

    private static PourFacts First() => new(
        new()
        {
            Name = $"{Name}/pours/p-1", Mix = $"{Studio}/mixes/m-0307a", Bench = Bench, MassMg = 1_420_000, DepthMm = 25, PourTime = At(0),
            Pourer = "Ana", LayerCount = 1, ResinTemperatureCelsius = 21.5,
        },
        new()
        {
            Name = $"{Studio}/mixes/m-0307a", Site = Site, MixTime = At(-0.4), Mixer = "Asa", AMassMg = 2_000_000, BMassMg = 850_500,
            HardenerPartsPer100Resin = 42.525, RatioDeviationPercent = 1.25,
        },
        [
            new() { Draw = new() { Container = $"{Studio}/containers/tank-a", MassMg = 2_000_000 }, Part = Part.A, Lots = { OldResin, NewResin } },
            new() { Draw = new() { Container = $"{Studio}/containers/can-b1", MassMg = 850_500 }, Part = Part.B, Lots = { Hardener } },
        ],
        new([.. Room()], 600_000));

    private static PourFacts Second() => new(
        new()
        {
            Name = $"{Name}/pours/p-2", Mix = $"{Studio}/mixes/m-0307b", Bench = Bench, MassMg = 710_250, DepthMm = 12, PourTime = At(6),
            Pourer = "Ana", LayerCount = 2, ResinTemperatureCelsius = 22, SurfaceTemperatureCelsius = 19,
        },
        new()
        {
            Name = $"{Studio}/mixes/m-0307b", Site = Site, MixTime = At(5.7), Mixer = "Ivo", Scale = "bench scale 2", AMassMg = 500_000, BMassMg = 210_250,
            HardenerPartsPer100Resin = 42.05, RatioDeviationPercent = 0.12, TemperatureCelsius = 22,
        },
        [
            new() { Draw = new() { Container = $"{Studio}/containers/can-a3", MassMg = 500_000 }, Part = Part.A, Lots = { OldResin } },
            new() { Draw = new() { Container = $"{Studio}/containers/can-b1", MassMg = 210_250 }, Part = Part.B, Lots = { Hardener } },
        ],
        new([.. Room()], 600_000));

    private static Check[] Checks() =>
    [
        new() { Name = $"{Name}/checks/c-1", CheckTime = At(5.5), Checker = "Ivo", Touch = Check.Types.Touch.Tacky, SurfaceTemperatureCelsius = 31.5 },
        new() { Name = $"{Name}/checks/c-2", CheckTime = At(9), Checker = "Asa", SurfaceTemperatureCelsius = 36, Note = "by infrared thermometer, middle of the river" },
        new() { Name = $"{Name}/checks/c-3", CheckTime = At(24), Checker = "Ivo", Touch = Check.Types.Touch.Soft, SurfaceTemperatureCelsius = 22 },
        new() { Name = $"{Name}/checks/c-4", CheckTime = At(45.9), Checker = "Ivo", Touch = Check.Types.Touch.Firm, ShoreD = 74 },
    ];

    /// <summary>Every ten minutes from an hour before, 21 °C falling to 16 °C in the night; nothing from 01:00 to 06:00 on Sunday.</summary>
    private static IEnumerable<ReadingRecord> Room() =>
        from step in Enumerable.Range(-6, 295)
        let hours = step / 6.0
        where hours is < 15 or > 20
        select new ReadingRecord
        {
            Sensor = $"{Site}/sensors/shelf-logger",
            ReadingMs = FirstPour.ToUnixMs() + step * 600_000L,
            TemperatureCelsius = Math.Round(18.6 + 2.6 * Math.Cos((hours - 6) * Math.PI / 12), 1),
            RelativeHumidityPercent = Math.Round(52 - 6 * Math.Cos((hours - 5) * Math.PI / 12)),
        };

    private static Forecast Forecast(int revision, double safe, double gel, double demoldEarliest, double handleSafe) => new()
    {
        Name = $"{Name}/forecasts/{revision}",
        ForecastTime = At(revision * 2),
        ModelRevision = "deep-casting-1",
        PourTime = At(0),
        Gates =
        {
            new GateForecast { Gate = Gate.FirstGel, EarliestTime = At(gel - 8), LikelyTime = At(gel - 5), SafeTime = At(gel - 3) },
            new GateForecast { Gate = Gate.Gel, EarliestTime = At(gel - 5), LikelyTime = At(gel - 2), SafeTime = At(gel) },
            new GateForecast { Gate = Gate.Demold, EarliestTime = At(demoldEarliest), LikelyTime = At((safe + demoldEarliest) / 2), SafeTime = At(safe) },
            new GateForecast { Gate = Gate.Handle, EarliestTime = At(safe - 2), LikelyTime = At(safe + 4), SafeTime = At(handleSafe) },
            new GateForecast { Gate = Gate.Sand, EarliestTime = At(safe + 8), LikelyTime = At(safe + 16), SafeTime = At(handleSafe + 20) },
            new GateForecast { Gate = Gate.Recoat, EarliestTime = At(safe + 32), LikelyTime = At(safe + 40), SafeTime = At(handleSafe + 44) },
            new GateForecast { Gate = Gate.HandOver, EarliestTime = At(safe + 56), LikelyTime = At(safe + 64), SafeTime = At(handleSafe + 68) },
            new GateForecast { Gate = Gate.FullCure, LikelyTime = At(200), Stall = new() { RoomTemperatureCelsius = 16.2, ReachedConversionRatio = 0.86, WantedConversionRatio = 0.9 } },
        },
        NextLayer = new()
        {
            OpensLikelyTime = At(gel + 5), ClosesLikelyTime = At(gel + 15), OpensSafeTime = At(gel + 6), ClosesEarliestTime = At(gel + 13), BestTime = At(gel + 9), BestShareRatio = 0.93,
        },
        Reason = revision == 1
            ? "First forecast, after the pour of 40 mm."
            : "Since the forecast before, the bench was 1.4 K colder than taken. Safe for saw and planer 6 h later.",
        Advice = { new Advice { Kind = "TEST_BY_TOUCH", Text = "Nothing to change. Test by touch at its coldest place first." } },
        Peak = new() { LowCelsius = 34, LikelyCelsius = 41, HighCelsius = 53, LikelyOffset = Duration.FromTimeSpan(TimeSpan.FromHours(9)) },
        LastReadingTime = At(42),
        RoomAssumption = "The last day repeats, joined to the last reading, 16.2 °C, over six hours.",
        Course = { Enumerable.Range(0, 73).Select(hour => Sample(hour)) },
    };

    private static CureSample Sample(double hours) => new()
    {
        Offset = Duration.FromTimeSpan(TimeSpan.FromHours(hours)),
        BaseTemperatureCelsius = 19 + 17 * Math.Exp(-Math.Pow((hours - 9) / 5.5, 2)),
        MiddleTemperatureCelsius = 19 + 22 * Math.Exp(-Math.Pow((hours - 9) / 5.5, 2)),
        TopTemperatureCelsius = 19 + 14 * Math.Exp(-Math.Pow((hours - 9) / 5.5, 2)),
        LeastConversionRatio = 0.95 / (1 + Math.Exp(-(hours - 16) / 6)),
    };
}
