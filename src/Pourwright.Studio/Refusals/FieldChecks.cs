using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;

namespace Pourwright.Studio.Refusals;

/// <summary>Collects everything that is wrong with a request, so that one answer names it all.</summary>
/// <remarks>Field paths are those of the proto: `mix.draws[0].mass_mg`. Texts read after the path and the value: "must be ...".</remarks>
public sealed class FieldChecks
{
    private readonly List<FieldViolation> _violations = [];

    /// <summary>Any rule; <paramref name="text"/> reads after the field's path.</summary>
    public FieldChecks Require(bool ok, string fieldPath, string text, string? value = null)
    {
        if (!ok) _violations.Add(new FieldViolation(fieldPath, text, value));
        return this;
    }

    /// <summary>Text of <paramref name="lengthMin"/> to <paramref name="lengthMax"/> characters, without control characters.</summary>
    public FieldChecks Text(string fieldPath, string value, int lengthMax, int lengthMin = 1) =>
        Require(value.Length >= lengthMin && value.Length <= lengthMax && !value.Any(char.IsControl), fieldPath,
            $"must be {lengthMin} to {lengthMax} characters long, without control characters.", Short(value));

    /// <summary>Mass in mg, limits included.</summary>
    public FieldChecks Mass(string fieldPath, long massMg, long minMg = 1, long maxMg = 1_000_000_000) =>
        Require(massMg >= minMg && massMg <= maxMg, fieldPath, $"must be {minMg} to {maxMg} mg.", Shown(massMg));

    /// <summary>Share in %, 0 to 100 included.</summary>
    public FieldChecks Percent(string fieldPath, double percent) => Within(fieldPath, percent, 0, 100, "%");

    /// <summary>Temperature in °C, limits included. The default limits are those of a room with people in it, generously: common practice, no source.</summary>
    public FieldChecks Celsius(string fieldPath, double celsius, double min = -40, double max = 60) =>
        Within(fieldPath, celsius, min, max, "°C");

    /// <summary>Any finite quantity, limits included.</summary>
    public FieldChecks Within(string fieldPath, double value, double min, double max, string unit) =>
        Require(value >= min && value <= max, fieldPath, $"must be {Shown(min)} to {Shown(max)} {unit}.", Shown(value));

    /// <summary>A resource name of the given kind, such as `studios/{studio}/lots/{lot}`; under <paramref name="parent"/> where one is given.</summary>
    public FieldChecks Name(string fieldPath, string name, ResourceKind kind, string? parent = null) =>
        Require(kind.Matches(name) && (parent is null || ResourceNames.IsUnder(name, parent)), fieldPath,
            $"must be a name like {(parent is null ? kind.Pattern : kind.PatternUnder(parent))}.", Short(name));

    /// <summary>The id a caller may choose for a new resource; empty means: give one.</summary>
    public FieldChecks NewId(string fieldPath, string id) =>
        Require(id.Length == 0 || ResourceNames.IsId(id), fieldPath, $"must match {ResourceNames.IdRule}, or be empty.", Short(id));

    /// <summary>An e-mail address, or nothing.</summary>
    public FieldChecks Email(string fieldPath, string email) =>
        Require(email.Length == 0 || EmailAddress.IsOne(email), fieldPath, "must be an e-mail address, or empty.", Short(email));

    /// <summary>An instant that must be set and lie within the years 1 to 9999.</summary>
    public FieldChecks Time(string fieldPath, Timestamp? instant) =>
        Require(instant is not null && IsValid(instant), fieldPath, "must be set to a valid instant.",
            instant is null ? null : $"{Shown(instant.Seconds)} s {Shown(instant.Nanos)} ns");

    /// <summary>The same, or nothing.</summary>
    public FieldChecks OptionalTime(string fieldPath, Timestamp? instant) => instant is null ? this : Time(fieldPath, instant);

    /// <summary>Refuses the request when anything was wrong.</summary>
    /// <exception cref="Refusal">FIELD_INVALID with every violation.</exception>
    public void ThrowIfAny()
    {
        if (_violations.Count > 0) throw Refusal.Invalid(_violations);
    }

    // The range of google.protobuf.Timestamp, from its definition.
    private static bool IsValid(Timestamp t) =>
        t.Seconds is >= -62_135_596_800 and <= 253_402_300_799 && t.Nanos is >= 0 and <= 999_999_999;

    private static string Shown(IFormattable value) => value.ToString(null, CultureInfo.InvariantCulture);

    private static string Short(string value) => value.Length <= 80 ? value : value[..80] + "…";
}
