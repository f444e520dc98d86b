using System.Globalization;

namespace Pourwright.Benchmarks;

/// <summary>One of the last lines of a benchmark: <c>name value bar ok|short</c>.</summary>
internal sealed record Figure(string Name, double Value, double Bar, bool Ok)
{
    /// <summary>Whether a run that is short of it fails; a time on a busy machine is told without that.</summary>
    public bool Fails { get; init; } = true;

    public static Figure AtMost(string name, double value, double bar) => new(name, value, bar, value <= bar);

    public static Figure AtLeast(string name, double value, double bar) => new(name, value, bar, value >= bar);

    /// <summary>What depends on the speed of the machine, or on how much was done in the time that others left: no fault of a brief run.</summary>
    public Figure ToldIf(bool brief) => this with { Fails = !brief };

    /// <summary>Prints them, and gives the exit code: 0 when none that fails a run is short.</summary>
    public static int Report(params IReadOnlyCollection<Figure> figures)
    {
        Console.WriteLine();
        foreach (var (name, value, bar, ok) in figures)
            Print($"{name} {(double.IsNaN(value) ? "unmeasured" : Invariant($"{value:0.000}"))} {bar:0.000} {(ok ? "ok" : "short")}");
        return figures.All(f => f.Ok || !f.Fails) ? 0 : 1;
    }

    /// <summary>A line of text, its numbers with a decimal point everywhere.</summary>
    public static void Print(FormattableString text) => Console.WriteLine(Invariant(text));

    public static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
