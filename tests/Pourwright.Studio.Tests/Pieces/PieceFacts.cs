using Pourwright.Studio.Pieces;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Pieces;

/// <summary>Facts of an invented studio for the rules of pieces. Hour 0 is the start of Unix time: a Thursday, 00:00 in UTC.</summary>
internal static class PieceFacts
{
    public const long HourMs = 3_600_000;
    public const string Name = "studios/alder/pieces/seven";

    public static readonly SiteRecord Site = new()
    {
        Name = "studios/alder/sites/north",
        Studio = "studios/alder",
        DisplayName = "North",
        TimeZone = "UTC",
        QuietStartMinute = 0,
        QuietEndMinute = 0,
        ReminderSwingMs = 0,
        DewPointMarginCelsius = 3,
        Etag = "",
    };

    public static PieceRecord Piece(Piece.Types.State state) => new()
    {
        Name = Name,
        Studio = Site.Studio,
        Site = Site.Name,
        Label = "7",
        State = state,
        Bench = state == V1.Piece.Types.State.Prepared ? null : Bench("shelf").Name,
    };

    public static BenchRecord Bench(string id, string site = "north") => new()
    {
        Name = $"studios/alder/sites/{site}/benches/{id}",
        Site = $"studios/alder/sites/{site}",
        DisplayName = id,
        PlannedTemperatureCelsius = null,
        BoardThicknessMm = 18,
    };

    public static PourRecord Pour(int layer, double hours) => new()
    {
        Name = $"{Name}/pours/layer-{layer}",
        Piece = Name,
        Mix = "studios/alder/mixes/first",
        Bench = Bench("shelf").Name,
        MassMg = 500_000,
        DepthMm = 20,
        PourMs = (long)(hours * HourMs),
        Pourer = "Ivo",
        LayerCount = layer,
        Cautions = "[]",
        RecordMs = (long)(hours * HourMs),
    };

    public static StepRecord Step(Step.Types.Kind kind, double hours, string? bench = null) => new()
    {
        Name = $"{Name}/steps/{kind}".ToLowerInvariant(),
        Piece = Name,
        Kind = kind,
        StepMs = (long)(hours * HourMs),
        Worker = "Ivo",
        Bench = bench,
        Cautions = "[]",
        RecordMs = (long)(hours * HourMs),
    };

    public static CheckRecord Check(Check.Types.Touch touch, double hours) => new()
    {
        Name = $"{Name}/checks/at-{hours}",
        Piece = Name,
        CheckMs = (long)(hours * HourMs),
        Checker = "Ivo",
        Touch = touch,
        RecordMs = (long)(hours * HourMs),
    };
}
