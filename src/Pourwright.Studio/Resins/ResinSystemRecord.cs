using System.Runtime.CompilerServices;
using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Pourwright.V1;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;
using LimitAction = Pourwright.V1.ResinSystem.Types.LimitAction;

namespace Pourwright.Studio.Resins;

/// <summary>A row of `resin_systems`: never changed after it was created.</summary>
public sealed record ResinSystemRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string DisplayName { get; init; }
    public required Basis Basis { get; init; }

    /// <summary>Parts of B for 100 of A, on <see cref="Basis"/>.</summary>
    public required double HardenerPartsPer100Resin { get; init; }

    /// <summary>% of <see cref="HardenerPartsPer100Resin"/>.</summary>
    public required double RatioTolerancePercent { get; init; }
    public double? ADensityKgPerM3 { get; init; }
    public double? BDensityKgPerM3 { get; init; }
    public required CureClass CureClass { get; init; }
    public double? MaxDepthMm { get; init; }
    public required LimitAction DepthLimitAction { get; init; }
    public long? MaxBatchMassMg { get; init; }
    public required LimitAction BatchLimitAction { get; init; }
    public required double MinCureTemperatureCelsius { get; init; }
    public long? OpenedShelfLifeMs { get; init; }

    /// <summary>Protobuf JSON of a <see cref="V1.DataSheet"/>; empty where none was given.</summary>
    public string DataSheet { get; init; } = "";

    /// <summary>The figures of the data sheet; null where none was given.</summary>
    public DataSheet? ReadDataSheet() => Read(DataSheet);

    /// <summary>How long a mix of the sheet's batch stays workable, in ms; null where the sheet does not say.</summary>
    public long? PotLifeMs() => PotLives.GetValue(DataSheet, static sheet => new(Read(sheet)?.PotLife is { } potLife ? (long)potLife.ToTimeSpan().TotalMilliseconds : null)).Value;

    public ResinSystem ToProto()
    {
        var system = new ResinSystem
        {
            Name = Name,
            DisplayName = DisplayName,
            Basis = Basis,
            HardenerPartsPer100Resin = HardenerPartsPer100Resin,
            RatioTolerancePercent = RatioTolerancePercent,
            CureClass = CureClass,
            DepthLimitAction = DepthLimitAction,
            BatchLimitAction = BatchLimitAction,
            MinCureTemperatureCelsius = MinCureTemperatureCelsius,
            OpenedShelfLife = OpenedShelfLifeMs is { } ms ? Duration.FromTimeSpan(TimeSpan.FromMilliseconds(ms)) : null,
            DataSheet = ReadDataSheet(),
        };
        if (ADensityKgPerM3 is { } a) system.ADensityKgPerM3 = a;
        if (BDensityKgPerM3 is { } b) system.BDensityKgPerM3 = b;
        if (MaxDepthMm is { } depth) system.MaxDepthMm = depth;
        if (MaxBatchMassMg is { } batch) system.MaxBatchMassMg = batch;
        return system;
    }

    private static DataSheet? Read(string sheet) => sheet.Length == 0 ? null : SheetParser.Parse<DataSheet>(sheet);

    /// <summary>Of the sheets that somebody holds: every mix asks, inside the writer, and to read a sheet takes longer than to write a row.</summary>
    private static readonly ConditionalWeakTable<string, StrongBox<long?>> PotLives = [];

    private static readonly JsonParser SheetParser = new(JsonParser.Settings.Default.WithIgnoreUnknownFields(true));
}
