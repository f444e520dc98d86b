using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;
using LimitAction = Pourwright.V1.ResinSystem.Types.LimitAction;

namespace Pourwright.Studio.Resins;

/// <summary>Binds one A product and one B product by a ratio whose basis is said.</summary>
public static class CreateResinSystem
{
    /// <summary>°C. Coldest room for a cure where the sheet gives none: common practice, no source.</summary>
    public const double MinCureTemperatureCelsiusDefault = 15;

    private static readonly TimeSpan SpanMax = TimeSpan.FromDays(3650);

    /// <summary>Whether the request can be meant: its fields first, then whether any resin can be like its data sheet.</summary>
    /// <exception cref="Refusal">FIELD_INVALID with every field that breaks its rule, or DATA_SHEET_CONTRADICTORY.</exception>
    public static void Check(CreateResinSystemRequest request)
    {
        CheckShape(request);
        CheckSheet.Sense(Decide(request, request.ResinSystemId));
    }

    private static void CheckShape(CreateResinSystemRequest request)
    {
        var system = request.ResinSystem ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("resin_system_id", request.ResinSystemId);
        CheckRatio(checks, system);
        CheckLimits(checks, system);
        CheckSheet.Shape(checks, system);
        checks.ThrowIfAny();
    }

    /// <summary>The row of a request that passed <see cref="Check"/>.</summary>
    public static ResinSystemRecord Decide(CreateResinSystemRequest request, string name)
    {
        var system = request.ResinSystem;
        return new ResinSystemRecord
        {
            Name = name,
            Studio = request.Parent,
            DisplayName = system.DisplayName,
            Basis = system.Basis,
            HardenerPartsPer100Resin = system.HardenerPartsPer100Resin,
            RatioTolerancePercent = system.RatioTolerancePercent,
            ADensityKgPerM3 = system.HasADensityKgPerM3 ? system.ADensityKgPerM3 : null,
            BDensityKgPerM3 = system.HasBDensityKgPerM3 ? system.BDensityKgPerM3 : null,
            CureClass = system.CureClass,
            MaxDepthMm = system.HasMaxDepthMm ? system.MaxDepthMm : null,
            DepthLimitAction = WarnUnlessRefuse(system.DepthLimitAction),
            MaxBatchMassMg = system.HasMaxBatchMassMg ? system.MaxBatchMassMg : null,
            BatchLimitAction = WarnUnlessRefuse(system.BatchLimitAction),
            MinCureTemperatureCelsius = system.HasMinCureTemperatureCelsius
                ? system.MinCureTemperatureCelsius : MinCureTemperatureCelsiusDefault,
            OpenedShelfLifeMs = system.OpenedShelfLife is { } life ? Milliseconds(life) : null,
            DataSheet = system.DataSheet is { } sheet ? JsonFormatter.Default.Format(sheet) : "",
        };
    }

    private static void CheckRatio(FieldChecks checks, ResinSystem system) => checks
        .Text("resin_system.display_name", system.DisplayName, 80)
        .Require(system.Basis is Basis.Mass or Basis.Volume, "resin_system.basis",
            "must be BASIS_MASS or BASIS_VOLUME, as the label says; the two are never interchangeable.", $"{system.Basis}")
        .Require(system.HardenerPartsPer100Resin is >= 1 and <= 400, "resin_system.hardener_parts_per_100_resin",
            "must be 1 to 400.", $"{system.HardenerPartsPer100Resin}")
        .Require(system.RatioTolerancePercent is > 0 and <= 20, "resin_system.ratio_tolerance_percent",
            "must be over 0, at most 20 %.", $"{system.RatioTolerancePercent}")
        .Density("resin_system.a_density_kg_per_m3", system.HasADensityKgPerM3, system.ADensityKgPerM3, system.Basis)
        .Density("resin_system.b_density_kg_per_m3", system.HasBDensityKgPerM3, system.BDensityKgPerM3, system.Basis);

    private static FieldChecks Density(this FieldChecks checks, string path, bool given, double kgPerM3, Basis basis) =>
        given
            ? checks.Within(path, kgPerM3, 800, 2500, "kg/m³")
            : checks.Require(basis != Basis.Volume, path,
                "must be set for a ratio by volume: weighings are turned into volumes through it.");

    private static void CheckLimits(FieldChecks checks, ResinSystem system)
    {
        checks
            .Require(system.CureClass is CureClass.DeepCasting or CureClass.FastCoating, "resin_system.cure_class",
                "must be CURE_CLASS_DEEP_CASTING or CURE_CLASS_FAST_COATING.", $"{system.CureClass}")
            .Require(System.Enum.IsDefined(system.DepthLimitAction), "resin_system.depth_limit_action",
                "must be LIMIT_ACTION_WARN, LIMIT_ACTION_REFUSE or empty.", $"{system.DepthLimitAction}")
            .Require(System.Enum.IsDefined(system.BatchLimitAction), "resin_system.batch_limit_action",
                "must be LIMIT_ACTION_WARN, LIMIT_ACTION_REFUSE or empty.", $"{system.BatchLimitAction}")
            .Require(!system.HasMaxDepthMm || system.MaxDepthMm is > 0 and <= 200, "resin_system.max_depth_mm",
                "must be over 0, at most 200 mm.", $"{system.MaxDepthMm}")
            .Span("resin_system.opened_shelf_life", system.OpenedShelfLife);
        if (system.HasMaxBatchMassMg) checks.Mass("resin_system.max_batch_mass_mg", system.MaxBatchMassMg);
        if (system.HasMinCureTemperatureCelsius)
            checks.Celsius("resin_system.min_cure_temperature_celsius", system.MinCureTemperatureCelsius);
    }

    private static FieldChecks Span(this FieldChecks checks, string path, Duration? span) => checks.Require(
        span is null || DescribeSite.IsWithin(span, TimeSpan.FromMilliseconds(1), SpanMax),
        path, "must be over 0, at most 3650 days.", span is null ? null : $"{span.Seconds} s");

    private static long Milliseconds(Duration span) => (long)span.ToTimeSpan().TotalMilliseconds;

    private static LimitAction WarnUnlessRefuse(LimitAction action) =>
        action == LimitAction.Refuse ? LimitAction.Refuse : LimitAction.Warn;
}
