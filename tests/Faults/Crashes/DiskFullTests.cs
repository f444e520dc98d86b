using System.Diagnostics;
using Grpc.Core;
using Grpc.Net.Client;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Crashes;

/// <summary>Goal: a full disk refuses with a word, harms nothing, and is forgotten once there is room. Every refused mix is sent again and is there once in the end.</summary>
public sealed class DiskFullTests
{
    private const string Can = "studios/alder/containers/full-a-can", OtherCan = "studios/alder/containers/full-b-can";
    private const long ReceivedMassMg = 100_000_000;

    private int _kept;

    /// <summary>The room ends at the n-th write, for n = 1, 2, 3 and so on: in the log, in its index, and while the log is folded into the file.</summary>
    [PreloadFact]
    public async Task NoRoomFromTheNthWrite_IsRefusedAsFull_ThenGoesOnByItself()
    {
        using var store = TestStore.OnFile();
        using var disk = new FaultyDisk(store);
        await using (var node = await disk.StartNodeAsync("--Node:Roles=api"))
        {
            await FoundAsync(node.Channel);
            var points = Cycles.Of(inShort: 60, inLong: 500);
            var otherwise = 0;
            for (var nth = 1; nth <= points; nth++)
            {
                disk.FillUp(nth);
                otherwise += await UntilRefusedAsync(node.Channel, disk.FreeUp) ? 0 : 1;
            }
            Figures.AtLeast("disk_full_write_points", points, 1);
            Figures.AtMost("disk_full_refused_otherwise", otherwise, 0);
            await AssertKeptAsync(node.Channel);
        }
        Figures.AtMost("disk_full_files_unsound", StudioFile.Faults(store.Address).Count, 0);
    }

    [MountFact]
    public async Task RealDiskFull_IsRefusedAsFull_ThenGoesOnByItself()
    {
        using var store = TestStore.OnFile();
        using var small = new SmallDisk(store.Folder);
        var database = Path.Combine(small.Path, "studio.db");
        await using (var node = await NodeProcess.StartAsync(store, $"--Node:Database={database}"))
        {
            await FoundAsync(node.Channel);
            var rounds = Cycles.Of(inShort: 3, inLong: 50);
            var otherwise = 0;
            for (var round = 0; round < rounds; round++)
            {
                small.FillUp();
                otherwise += await UntilRefusedAsync(node.Channel, small.FreeUp) ? 0 : 1;
            }
            Figures.AtMost("disk_full_real_refused_otherwise", otherwise, 0);
            await AssertKeptAsync(node.Channel);
        }
        Figures.AtMost("disk_full_real_files_unsound", StudioFile.Faults(database).Count, 0);
    }

    /// <summary>Records mixes until one is refused, makes room, and sends that again. True where it was refused as it should be and the rest went well.</summary>
    private async Task<bool> UntilRefusedAsync(GrpcChannel channel, Action freeUp)
    {
        var mixes = new MixService.MixServiceClient(channel);
        while (true)
        {
            var request = NewMix();
            try
            {
                await mixes.RecordMixAsync(request);
                _kept++;
            }
            catch (RpcException refusal)
            {
                freeUp();
                await mixes.RecordMixAsync(request);
                _kept++;
                return refusal.StatusCode == StatusCode.ResourceExhausted && refusal.Reason() == Reasons.StoreFull;
            }
        }
    }

    private async Task AssertKeptAsync(GrpcChannel channel) => Assert.Equal(
        ReceivedMassMg - _kept * 1150L, (await new LotService.LotServiceClient(channel).GetContainerAsync(new() { Name = Can })).RemainingMassMg);

    private static async Task FoundAsync(GrpcChannel channel)
    {
        await SampleStudio.CreateAsync(channel);
        await SampleStudio.ReceiveAsync(channel, SampleStudio.Coat, "full-a", Part.A, "full-a-can", ReceivedMassMg);
        await SampleStudio.ReceiveAsync(channel, SampleStudio.Coat, "full-b", Part.B, "full-b-can", ReceivedMassMg);
    }

    private static RecordMixRequest NewMix() => new()
    {
        Parent = SampleStudio.Name,
        RequestId = Guid.NewGuid().ToString(),
        Mix = new()
        {
            Site = SampleStudio.North,
            ResinSystem = SampleStudio.Coat,
            Mixer = "Ivo",
            Draws =
            {
                new Mix.Types.Draw { Container = Can, MassMg = 1150 },
                new Mix.Types.Draw { Container = OtherCan, MassMg = 480 },
            },
        },
    };

    /// <summary>A file system of 8 MB in memory.</summary>
    private sealed class SmallDisk : IDisposable
    {
        private readonly string _ballast;

        public SmallDisk(string folder)
        {
            Path = Directory.CreateDirectory(System.IO.Path.Combine(folder, "small")).FullName;
            _ballast = System.IO.Path.Combine(Path, "ballast");
            Assert.Equal(0, Run("mount", "-t", "tmpfs", "-o", "size=8m", "tmpfs", Path));
        }

        public string Path { get; }

        /// <summary>Takes all the room there is.</summary>
        public void FillUp()
        {
            using var file = File.Create(_ballast);
            var block = new byte[4096];
            try
            {
                while (true)
                {
                    file.Write(block);
                    file.Flush();
                }
            }
            catch (IOException)
            {
                // Full.
            }
        }

        public void FreeUp() => File.Delete(_ballast);

        public void Dispose() => Run("umount", "-l", Path);

        public static int Run(string program, params string[] arguments)
        {
            using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardError = true })!;
            process.WaitForExit();
            return process.ExitCode;
        }
    }

    private sealed class MountFactAttribute : FactAttribute
    {
        public MountFactAttribute()
        {
            if (!Environment.IsPrivilegedProcess || SmallDisk.Run("unshare", "-m", "mount", "-t", "tmpfs", "tmpfs", "/mnt") != 0)
                Skip = "Needs the right to mount a file system in memory.";
        }
    }
}
