using System.Diagnostics;
using System.Text.Json;

namespace Pourwright.Journeys;

/// <summary>Runs a script of tests/node, which `tests/run.sh` has filled with its packages.</summary>
internal static class NodeScript
{
    /// <summary>What it prints: one JSON value.</summary>
    public static async Task<JsonElement> RunAsync(string script, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo("node", [Path.Combine(Repository.Root, "tests", "node", script), .. arguments])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        var errors = process.StandardError.ReadToEndAsync();
        var output = await process.StandardOutput.ReadToEndAsync();
        await process.WaitForExitAsync();
        Assert.True(process.ExitCode == 0, await errors);
        return JsonDocument.Parse(output).RootElement;
    }
}
