using System.Diagnostics;

namespace Pourwright.Journeys.Deploy;

/// <summary>The service units: as text, and as systemd's own checker reads them where it is installed.</summary>
public sealed class UnitTests
{
    private const string Checker = "/usr/bin/systemd-analyze";

    public static TheoryData<string> Units() => new(
        Directory.GetFiles(Path.Combine(Repository.Root, "deploy"), "*.service").Select(path => Path.GetFileName(path)!));

    [Theory]
    [MemberData(nameof(Units))]
    public void Unit_IsSealedAndStopsInTime(string unit)
    {
        var lines = File.ReadAllLines(Path.Combine(Repository.Root, "deploy", unit));

        Assert.All(
            ["DynamicUser=yes", "ProtectSystem=strict", "ProtectHome=yes", "PrivateTmp=yes", "NoNewPrivileges=yes", "CapabilityBoundingSet=", "Restart=on-failure", "TimeoutStopSec=30"],
            line => Assert.Contains(line, lines));
        Assert.DoesNotContain(lines, line => line.Contains("Password", StringComparison.OrdinalIgnoreCase));
    }

    [CheckerTheory]
    [MemberData(nameof(Units))]
    public async Task Unit_IsReadBySystemdWithoutComplaint(string unit)
    {
        // It asks whether the program is there, which is published elsewhere.
        var copy = Directory.CreateTempSubdirectory("pourwright-unit-");
        var text = (await File.ReadAllTextAsync(Path.Combine(Repository.Root, "deploy", unit))).Replace("/opt/pourwright/Pourwright.Host", "/bin/true", StringComparison.Ordinal);
        await File.WriteAllTextAsync(Path.Combine(copy.FullName, unit), text);

        using var process = Process.Start(new ProcessStartInfo(Checker, ["verify", "--man=no", Path.Combine(copy.FullName, unit)]) { RedirectStandardError = true })!;
        var said = await process.StandardError.ReadToEndAsync();
        await process.WaitForExitAsync();
        copy.Delete(recursive: true);

        Assert.DoesNotContain(said.Split('\n'), line => line.Contains(unit, StringComparison.Ordinal));
        Assert.Equal(0, process.ExitCode);
    }

    private sealed class CheckerTheoryAttribute : TheoryAttribute
    {
        public CheckerTheoryAttribute()
        {
            if (!File.Exists(Checker)) Skip = $"Needs {Checker}.";
        }
    }
}
