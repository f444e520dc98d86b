using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Simulation;

/// <summary>The file of a studio at the beginning of its simulated days, made once by a real node and copied for each seed, into memory where there is such a place.</summary>
internal sealed class StudioTemplate : IDisposable
{
    public const string CanA = "studios/alder/containers/coat-a-can", CanB = "studios/alder/containers/coat-b-can";

    public const string NorthTable = $"{SampleStudio.North}/benches/table", SouthTable = $"{SampleStudio.South}/benches/table";

    public const long ReceivedMassMg = 10_000_000;

    /// <summary>An answer to a request id that begins like this cannot be remembered: the call fails at its last statement.</summary>
    public const string PoisonPrefix = "bad00000-0000-4000-8000-";

    private static readonly Lazy<Task<byte[]>> File = new(MakeAsync);

    private readonly string _folder;

    private StudioTemplate(string folder) => _folder = folder;

    public string Path => System.IO.Path.Combine(_folder, "studio.db");

    public static async Task<StudioTemplate> CopyAsync()
    {
        var copy = new StudioTemplate(Directory.Exists("/dev/shm")
            ? Directory.CreateDirectory($"/dev/shm/pourwright-{Guid.NewGuid():N}").FullName
            : Directory.CreateTempSubdirectory("pourwright-simulated-").FullName);
        await System.IO.File.WriteAllBytesAsync(copy.Path, await File.Value);
        return copy;
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static async Task<byte[]> MakeAsync()
    {
        using var store = TestStore.OnFile();
        await using (var harness = await StudioHarness.StartOnAsync(store))
        {
            await SampleStudio.CreateAsync(harness);
            foreach (var site in (string[])[SampleStudio.North, SampleStudio.South])
                await new SiteService.SiteServiceClient(harness.Channel).CreateBenchAsync(
                    new() { Parent = site, BenchId = "table", Bench = new() { DisplayName = "Table", PlannedTemperatureCelsius = 20 } });
            await SampleStudio.ReceiveAsync(harness.Channel, SampleStudio.Coat, "coat-a", Part.A, "coat-a-can", ReceivedMassMg);
            await SampleStudio.ReceiveAsync(harness.Channel, SampleStudio.Coat, "coat-b", Part.B, "coat-b-can", ReceivedMassMg);
        }
        // Everybody has an address, so that what goes out has somewhere to go.
        store.Alter("UPDATE contacts SET email = lower(display_name) || '@alder.example' WHERE email = ''");
        store.Alter($"CREATE TRIGGER poison BEFORE INSERT ON requests_seen WHEN new.request_id LIKE '{PoisonPrefix}%' BEGIN SELECT RAISE(ABORT, 'poison'); END");
        return await System.IO.File.ReadAllBytesAsync(store.Address);
    }
}
