using System.Diagnostics;
using Npgsql;
using Pourwright.Faults.Crashes;
using Pourwright.Studio.Seals;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Postgres;
using Pourwright.Testing;

namespace Pourwright.Faults.Backups;

/// <summary>
/// Goal: a PostgreSQL database can become again what it was at an instant between two backups. Method: as the runbook tells it, by
/// tests/point-in-time.sh: a base backup while people work, the log archived, and a second server that follows the log up to an
/// instant after which something went wrong.
/// </summary>
public sealed class PointInTimeTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("pourwright-instant-");

    public void Dispose()
    {
        Script("stop");
        _folder.Delete(recursive: true);
    }

    [PostgresFact]
    public async Task Recover_ToAnInstant_HasAllThatWasAcknowledgedBeforeIt_AndNothingAfter()
    {
        using var folder = TestStore.OnFile();
        IReadOnlyList<string> before, after;
        string instant;
        await using (var harness = await StudioHarness.StartOnAsync(folder, $"--Store:Postgres={Script("start")}"))
        {
            var load = await MixLoad.StartAsync(harness.Channel, pours: false);
            await using (load)
            {
                await load.AcknowledgedAsync(50);
                Script("base");
                await load.AcknowledgedAsync(50);
                before = [.. load.Mixes];
                instant = harness.Reads.Read(session => session.Scalar<string>("SELECT CAST(clock_timestamp() AS TEXT)"));
                // What began before the instant may be acknowledged after it: wait until all that did is.
                await load.AcknowledgedAsync(50);
            }
            after = [.. load.Mixes.Except(before)];
        }
        using var recovered = new PostgresStore(Script("recover", instant));
        using var reads = new StudioReads(recovered);
        var kept = reads.Read(session => session.Query<string>("SELECT name FROM mixes")).ToHashSet();

        Figures.AtMost("point_in_time_acknowledged_lost", before.Count(mix => !kept.Contains(mix)), 0);
        // The clients that were under way at the instant; no more than one mix each.
        Figures.AtMost("point_in_time_mixes_of_later", after.Count(kept.Contains), 8);
        Figures.AtMost("point_in_time_links_broken", reads.Read(session => new EvidenceCheck(session, SampleStudio.Name, null).Steps().Count(step => step.Fault is not null)), 0);
    }

    private string Script(string verb, string argument = "")
    {
        var script = Path.Combine(Journeys.Repository.Root, "tests", "point-in-time.sh");
        var log = Path.Combine(Path.GetTempPath(), $"{_folder.Name}.log");
        // To a file: the server inherits its output, and a pipe would not end before it does.
        using var process = Process.Start(new ProcessStartInfo("bash", ["-c", "\"$@\" > \"$0\" 2> \"$0.errors\" < /dev/null", log, script, verb, _folder.FullName, argument]))!;
        process.WaitForExit();
        var said = File.ReadAllText(log);
        Assert.True(process.ExitCode == 0, $"{verb}: {File.ReadAllText($"{log}.errors")}");
        File.Delete(log);
        File.Delete($"{log}.errors");
        return said.Trim();
    }

    private sealed class PostgresFactAttribute : FactAttribute
    {
        public PostgresFactAttribute()
        {
            if (!Directory.Exists("/usr/lib/postgresql")) Skip = "Needs Debian's package postgresql; tests/faults.sh installs it.";
        }
    }
}
