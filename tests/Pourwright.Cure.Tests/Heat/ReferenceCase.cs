using System.Text.Json;
using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Tests.Reference;

namespace Pourwright.Cure.Tests.Heat;

/// <summary>One of the seven cases of Reference/cure/cases.json, ready to be solved.</summary>
internal sealed class ReferenceCase
{
    private readonly JsonElement json;

    private ReferenceCase(JsonElement json) => this.json = json;

    public double EndSeconds => Number(json, "t_end_h") * 3600;

    public double[][] Rows => ReferenceFiles.Table("cure/" + json.GetProperty("csv").GetString());

    public JsonElement Events => json.GetProperty("expected_events");

    public double ToleranceKelvin => Number(json.GetProperty("suggested_test_tolerance"), "T_K");

    public double ToleranceConversion => Number(json.GetProperty("suggested_test_tolerance"), "alpha");

    public double ToleranceHours => Number(json.GetProperty("suggested_test_tolerance"), "event_h");

    public CureReaction Reaction { get; private init; } = null!;

    public Surroundings Surroundings { get; private init; } = null!;

    public static ReferenceCase Named(string name)
    {
        var json = ReferenceFiles.Json("cure/cases.json").GetProperty("cases").EnumerateArray()
            .Single(c => c.GetProperty("name").GetString()!.StartsWith(name, StringComparison.Ordinal));
        return new(json) { Reaction = ReactionOf(json), Surroundings = SurroundingsOf(json) };
    }

    /// <summary>A new slab; a cell a millimetre unless said, by fours so that the quarter points are nodes.</summary>
    public Slab Slab(double cellMm = 1)
    {
        Slab? slab = null;
        foreach (var layer in json.GetProperty("layers").EnumerateArray())
        {
            var resin = layer.GetProperty("resin").GetBoolean();
            var material = new Material(
                Number(layer, "rho"), Number(layer, "cp"), Number(layer, "k"),
                resin ? Number(json, "Hr") : 0, resin ? Reaction : null);
            var depth = Number(layer, "d_m");
            var cells = 4 * (int)Math.Ceiling(Math.Max(16, depth * 1000 / cellMm) / 4);
            var (kelvin, conversion) = (Number(json, resin ? "T0_K" : "T0_other_K"), resin ? Number(json, "alpha0") : 0);
            slab = slab is null
                ? Cure.Heat.Slab.Of(new(depth, cells, material), kelvin, conversion)
                : slab.With(new(depth, cells, material), kelvin, conversion);
        }
        return slab!;
    }

    private static double Number(JsonElement element, string name) => element.GetProperty(name).GetDouble();

    private static CureReaction ReactionOf(JsonElement json)
    {
        var (kinetics, glass, diffusion) =
            (json.GetProperty("kinetics"), json.GetProperty("dibenedetto"), json.GetProperty("diffusion"));
        return new(
            new(Number(kinetics, "k1_ref_per_s"), Number(kinetics, "k2_ref_per_s"),
                Number(kinetics, "E1"), Number(kinetics, "E2"), Number(kinetics, "m"), Number(kinetics, "n")),
            diffusion.GetProperty("form").GetString() == "rabinowitch"
                ? new Rabinowitch(Number(diffusion, "kd0"), Number(diffusion, "Ed"), Number(diffusion, "b"),
                    Number(diffusion, "f_slope"), Number(diffusion, "f_g"), Number(diffusion, "f_min"))
                : new ChernPoehlein(Number(diffusion, "C"), Number(diffusion, "ac0"), Number(diffusion, "acT")),
            new(Number(glass, "Tg0_K"), Number(glass, "Tginf_K"), Number(glass, "lambda")));
    }

    private static Surroundings SurroundingsOf(JsonElement json) => new(
        AmbientOf(json.GetProperty("ambient_top")),
        Number(json.GetProperty("bc"), "h_base"), Number(json.GetProperty("bc"), "h_top"),
        Number(json.GetProperty("lateral"), "s_W_m3K"));

    private static AmbientCourse AmbientOf(JsonElement ambient) => ambient.GetProperty("form").GetString() switch
    {
        "const" => AmbientCourse.Constant(Number(ambient, "T_K")),
        "sine" => new(Enumerable.Range(0, 169 * 5).Select(i => (i * 720.0, Sine(ambient, i / 5.0)))),
        _ => new(ambient.GetProperty("t_h").EnumerateArray().Zip(ambient.GetProperty("T_K").EnumerateArray())
            .Select(p => (p.First.GetDouble() * 3600, p.Second.GetDouble()))),
    };

    // Twelve minutes between points: chords of the sine are off by (2π · 0.2/24)²/8 · 4 K = 0.0014 K at most.
    private static double Sine(JsonElement ambient, double hours) => Number(ambient, "mean_K")
        + Number(ambient, "amp_K") * Math.Sin(2 * Math.PI * (hours - Number(ambient, "phase_h")) / Number(ambient, "period_h"));
}
