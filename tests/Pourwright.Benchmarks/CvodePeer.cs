using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;

namespace Pourwright.Benchmarks;

/// <summary>The peer program (peer/cvode_slab.c), built here and kept running so that rounds may alternate with ours.</summary>
internal sealed class CvodePeer : IDisposable
{
    private static readonly string Folder = Path.Combine(AppContext.BaseDirectory, "peer");
    private static readonly string Program = Path.Combine(Folder, "cvode_slab");

    private readonly Process process;

    private CvodePeer(Process process, string[] chosen, double[] reference)
    {
        (this.process, Reference) = (process, reference);
        (Tolerance, Steps, RightHandSides) = (Number(chosen[0]), (long)Number(chosen[1]), (long)Number(chosen[2]));
        (ErrorKelvin, ErrorConversion) = (Number(chosen[3]), Number(chosen[4]));
    }

    /// <summary>Outputs every half hour, of each the temperature in K and the conversion of every node, in turn.</summary>
    public double[] Reference { get; }
    public double Tolerance { get; }
    public long Steps { get; }
    public long RightHandSides { get; }
    public double ErrorKelvin { get; }
    public double ErrorConversion { get; }

    /// <summary>Builds the program; installs what it needs from Debian where that is missing.</summary>
    /// <returns>Why it cannot be built, or null.</returns>
    public static string? Build()
    {
        if (Compile() is null)
            return null;
        Console.WriteLine("Installing gcc and libsundials-dev ...");
        Run("apt-get", "update", "-qq");
        Run("apt-get", "install", "-y", "-qq", "gcc", "libc6-dev", "libsundials-dev");
        return Compile();
    }

    /// <summary>Makes the reference and finds the peer's cheapest run inside the errors.</summary>
    public static CvodePeer Start(PeerCase piece, double errorKelvin, double errorConversion)
    {
        var file = Path.Combine(Folder, $"{piece.Name}.bin");
        var process = Process.Start(new ProcessStartInfo(
            Program,
            [file, Text(errorKelvin), Text(errorConversion), .. piece.Arguments.Select(a => $"{a.Name}={Text(a.Value)}")])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
        })!;
        var chosen = process.StandardOutput.ReadLine()?.Split(' ')
            ?? throw new InvalidOperationException($"The peer found no run of '{piece.Name}'; what it wrote above says why.");
        return new(process, chosen, [.. MemoryMarshal.Cast<byte, double>(File.ReadAllBytes(file))]);
    }

    /// <summary>Least processor time of a number of solves, in s.</summary>
    public double LeastSeconds(int solves)
    {
        process.StandardInput.WriteLine(solves);
        return Number(process.StandardOutput.ReadLine()!);
    }

    public void Dispose()
    {
        process.StandardInput.Close();
        process.WaitForExit();
        process.Dispose();
    }

    private static string? Compile() => Run(
        "gcc", "-O3", "-march=native", "-ffast-math", "-o", Program, Program + ".c",
        "-lsundials_cvode", "-lsundials_nvecserial", "-lm");

    // What it complained of, or null.
    private static string? Run(string command, params string[] arguments)
    {
        try
        {
            var start = new ProcessStartInfo(command, arguments) { RedirectStandardError = true, RedirectStandardOutput = true };
            start.Environment["DEBIAN_FRONTEND"] = "noninteractive";
            using var process = Process.Start(start)!;
            process.OutputDataReceived += (_, _) => { };
            process.BeginOutputReadLine();
            var complaint = process.StandardError.ReadToEnd();
            process.WaitForExit();
            return process.ExitCode == 0 ? null : $"{command}: {complaint.Split('\n')[0]}";
        }
        catch (Win32Exception e)
        {
            return $"{command}: {e.Message}";
        }
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static string Text(double value) => value.ToString("r", CultureInfo.InvariantCulture);
}
