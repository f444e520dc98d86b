using Pourwright.Evidence.Suspects;
using Kind = Pourwright.V1.Defect.Types.Kind;
using StepKind = Pourwright.V1.Step.Types.Kind;

namespace Pourwright.Studio.Suspects;

/// <summary>Kinds of defects: what they are called, when they show, and which are watched together.</summary>
public static class DefectKinds
{
    private static readonly StepKind[] OutOfMould =
        [StepKind.Demold, StepKind.Saw, StepKind.Plane, StepKind.Sand, StepKind.Finish, StepKind.HandOver];

    private static readonly StepKind[] Worked = [StepKind.Saw, StepKind.Plane, StepKind.Sand, StepKind.Finish, StepKind.HandOver];

    /// <summary>Kinds whose causes are much the same, watched as one. Common practice, no source.</summary>
    public static IReadOnlyList<(string Name, IReadOnlyList<Kind> Kinds)> Watched { get; } =
    [
        ("too little cure", [Kind.Soft, Kind.SoftPatches, Kind.TackySkin, Kind.LowHardness]),
        ("bubbles", [Kind.Bubbles]),
        ("cracks", [Kind.Cracks]),
        ("clouds and colour", [Kind.Cloudy, Kind.ColourDrift]),
        ("parting and bending", [Kind.Delamination, Kind.LayerSplit, Kind.Warp]),
        ("leaks", [Kind.Leak]),
        ("finish", [Kind.Finish]),
    ];

    /// <summary>The steps after which somebody must have seen it; those of any defect where no kind is said.</summary>
    public static IReadOnlyList<StepKind> Showing(Kind kind) => kind switch
    {
        Kind.Delamination or Kind.Warp => Worked,
        Kind.Finish => [StepKind.Finish, StepKind.HandOver],
        Kind.LowHardness => [StepKind.HandOver],
        _ => OutOfMould,
    };

    /// <summary>Whether a firm touch in the mould tells that it is not there.</summary>
    public static bool ShowsByTouch(Kind kind) => kind is Kind.Soft or Kind.TackySkin;

    public static DefectKind Of(Kind kind) => kind is Kind.Unspecified or Kind.Other ? DefectKind.Other : Enum.Parse<DefectKind>(kind.ToString());

    /// <summary>As a heading says it: "Soft", "Tacky skin", "Soft or tacky skin"; "Any defect" for none.</summary>
    public static string Heading(IReadOnlyList<Kind> kinds)
    {
        string[] words = [.. kinds.Select(Words)];
        var text = words.Length switch
        {
            0 => "any defect",
            1 => words[0],
            _ => $"{string.Join(", ", words[..^1])} or {words[^1]}",
        };
        return char.ToUpperInvariant(text[0]) + text[1..];
    }

    private static string Words(Kind kind) =>
        string.Concat(kind.ToString().Select((c, i) => i > 0 && char.IsUpper(c) ? $" {char.ToLowerInvariant(c)}" : $"{char.ToLowerInvariant(c)}"));
}
