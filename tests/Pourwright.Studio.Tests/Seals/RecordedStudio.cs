using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Evidence.Sealing;
using Pourwright.Studio.Seals;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Copying;
using Pourwright.Studio.Storage.Sqlite;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Seals;

/// <summary>A studio of three sites whose file was filled through every call that records evidence: some 350 links, 700 rows.</summary>
public sealed class RecordedStudio : IAsyncDisposable
{
    private const string East = $"{SampleStudio.Name}/sites/east";
    private const int PiecesPerSite = 6;
    private const int BatchesPerSensor = 6;
    private const int ReadingsPerBatch = 16;

    public static readonly string[] Sites = [SampleStudio.North, SampleStudio.South, East];

    private RecordedStudio(StudioHarness harness) => Harness = harness;

    public StudioHarness Harness { get; }

    public V1.SealService.SealServiceClient Seals => new(Harness.Channel);

    private V1.LotService.LotServiceClient Lots => new(Harness.Channel);

    private V1.PieceService.PieceServiceClient Pieces => new(Harness.Channel);

    private V1.MixService.MixServiceClient Mixes => new(Harness.Channel);

    private V1.ClimateService.ClimateServiceClient Climate => new(Harness.Channel);

    /// <summary>The studio as founded: nothing of it is evidence yet.</summary>
    public static async Task<RecordedStudio> FoundAsync()
    {
        var studio = new RecordedStudio(await StudioHarness.StartAsync());
        await SampleStudio.CreateAsync(studio.Harness);
        var sites = new V1.SiteService.SiteServiceClient(studio.Harness.Channel);
        await sites.CreateSiteAsync(new() { Parent = SampleStudio.Name, SiteId = "east", Site = new() { DisplayName = "East", TimeZone = "Europe/Lisbon" } });
        var bench = await sites.CreateBenchAsync(new() { Parent = East, BenchId = "shelf", Bench = new() { DisplayName = "Shelf" } });
        await sites.CreateSensorAsync(new() { Parent = East, SensorId = "shelf-logger", Sensor = new() { DisplayName = "Logger", Bench = bench.Name } });
        return studio;
    }

    public static async Task<RecordedStudio> FilledAsync()
    {
        var studio = await FoundAsync();
        await studio.FillAsync();
        return studio;
    }

    public async Task FillAsync()
    {
        await ReceiveAsync("resin", Part.A, 9_000_000);
        await ReceiveAsync("hardener", Part.B, 5_000_000);
        foreach (var site in Sites) await MakePiecesAsync(site);
        await KeepContainersAsync();
        await CorrectAsync();
        await RecallAsync();
        await CloseSessionAsync();
        await EraseAsync();
        await Harness.SettleAsync();
    }

    public static RecordMixRequest Mix(string site, string id = "") => new()
    {
        Parent = SampleStudio.Name,
        MixId = id,
        Mix = new()
        {
            Site = site,
            ResinSystem = SampleStudio.Deep,
            Mixer = "Ivo",
            Scale = "bench scale 2",
            TemperatureCelsius = 21,
            Draws =
            {
                new V1.Mix.Types.Draw { Container = Can("resin", site), MassMg = 100_000 },
                new V1.Mix.Types.Draw { Container = Can("hardener", site), MassMg = 42_000 },
            },
        },
    };

    public Task<Mix> MixAsync(string site) => Mixes.RecordMixAsync(Mix(site)).ResponseAsync;

    public static RecordReadingsRequest Readings(string site, int batch) => new()
    {
        Parent = site,
        Readings = { Enumerable.Range(0, ReadingsPerBatch).Select(index => new Reading
        {
            Sensor = $"{site}/sensors/shelf-logger",
            // A batch has a reading of the hour before: batches cross each other, as where a logger was out of reach.
            ReadingTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddMinutes(-10 * (batch * ReadingsPerBatch + index) - (index == 3 ? 5 : 0) - (index == 0 ? 603 : 0))),
            TemperatureCelsius = 20 + 0.25 * ((batch + index) % 5),
            RelativeHumidityPercent = 50,
        }) },
    };

    public Task RecordReadingsAsync(string site, int batch) => Climate.RecordReadingsAsync(Readings(site, batch)).ResponseAsync;

    /// <summary>A student who made a piece, and is forgotten.</summary>
    private async Task EraseAsync()
    {
        await Pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, Piece = new() { Site = SampleStudio.North, Label = "una", Maker = "Una" } });
        var una = await new V1.StudentService.StudentServiceClient(Harness.Channel).CreateStudentAsync(new() { Parent = SampleStudio.Name, Student = new() { DisplayName = "Una" } });
        await new V1.PrivacyService.PrivacyServiceClient(Harness.Channel).ErasePersonAsync(new() { Student = una.Name });
    }

    /// <summary>The whole check over the file as it stands, by the service.</summary>
    public async Task<(IReadOnlyList<V1.EvidenceFault> Faults, EvidenceSummary Summary)> VerifyAsync(string keptSeal = "")
    {
        using var call = Seals.VerifyEvidence(new() { Parent = SampleStudio.Name, KeptSeal = keptSeal });
        var steps = new List<VerifyEvidenceResponse>();
        await foreach (var step in call.ResponseStream.ReadAllAsync()) steps.Add(step);
        return ([.. steps.Select(step => step.Fault).OfType<V1.EvidenceFault>()], steps[^1].Summary);
    }

    /// <summary>Seals, and gives the seal out.</summary>
    public async Task<string> SealAsync()
    {
        var seal = await Seals.CreateSealAsync(new() { Parent = SampleStudio.Name });
        return (await Seals.ExportSealAsync(new() { Name = seal.Name })).Data.ToStringUtf8();
    }

    /// <summary>Seals as the node does daily, by nobody's call: no entry of who sealed stands after the seal.</summary>
    public Task<string> SealAllAsync() => Harness.Writer.WriteAsync(tx =>
    {
        var seal = SealStore.Save(tx, SampleStudio.Name, $"{SampleStudio.Name}/seals/all-{Guid.NewGuid():N}");
        return SealJson.Write(seal.ToSeal(SealStore.HeadsOf(tx, seal)));
    });

    /// <summary>A copy of the file as a backup would take it, or of the database as it is moved into a file, in the folder that goes with the studio.</summary>
    public string CopyFile(string name)
    {
        var copy = Path.Combine(Harness.Folder, name);
        if (!Harness.Store.IsFile)
        {
            using StudioStore server = Harness.Store.Open(), file = new SqliteStore(copy);
            StudioCopy.Run(server, file);
            return copy;
        }
        Harness.Reads.Read(session => session.Scalar<long>("SELECT count(*) FROM studios"));
        using var source = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={Harness.Store.Address};Pooling=False");
        using var target = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={copy};Pooling=False");
        source.Open();
        target.Open();
        source.BackupDatabase(target);
        return copy;
    }

    /// <summary>The check over a file, without a node.</summary>
    public static IReadOnlyList<Pourwright.Studio.Seals.EvidenceFault> Faults(string file, Pourwright.Evidence.Sealing.Seal? kept = null)
    {
        using var reads = new StudioReads(new SqliteStore(file));
        return reads.Read(session => new EvidenceCheck(session, SampleStudio.Name, kept).Steps()
            .Select(step => step.Fault).OfType<Pourwright.Studio.Seals.EvidenceFault>().ToList());
    }

    public static string Can(string what, string site) => $"{SampleStudio.Name}/containers/{what}-{site.Split('/')[^1]}";

    public ValueTask DisposeAsync() => Harness.DisposeAsync();

    private async Task ReceiveAsync(string lot, Part part, long massMg) => await Lots.ReceiveLotAsync(new()
    {
        Parent = SampleStudio.Name,
        LotId = lot,
        Lot = new() { Part = part, ResinSystem = SampleStudio.Deep, Supplier = "Harbour Supplies", SupplierLotCode = $"Ä-{lot}" },
        Containers =
        {
            Sites.Select(site => new ContainerReceipt { ContainerId = $"{lot}-{site.Split('/')[^1]}", Site = site, ReceivedMassMg = massMg }),
        },
    });

    private async Task MakePiecesAsync(string site)
    {
        for (var batch = 0; batch < BatchesPerSensor; batch++) await RecordReadingsAsync(site, batch);
        for (var number = 1; number <= PiecesPerSite; number++) await MakePieceAsync(site, $"{site.Split('/')[^1]}-{number}");
    }

    private async Task MakePieceAsync(string site, string id)
    {
        var mix = await MixAsync(site);
        var piece = (await Pieces.CreatePieceAsync(new()
        {
            Parent = SampleStudio.Name, PieceId = id,
            Piece = new() { Site = site, Label = id, Maker = "Ana", WoodSpecies = "oak", WoodMoisturePercent = 9 },
        })).Name;
        await Pieces.RecordPourAsync(new() { Parent = piece, Pour = new() { Mix = mix.Name, Bench = $"{site}/benches/shelf", MassMg = 120_000, DepthMm = 20, Pourer = "Ivo" } });
        await Mixes.DiscardMixAsync(new() { Name = mix.Name, MassMg = 1_500 });
        await Pieces.RecordCheckAsync(new() { Parent = piece, Check = new() { Checker = "Asa", Touch = Check.Types.Touch.Tacky, SurfaceTemperatureCelsius = 31.5 } });
        await Pieces.RecordStepAsync(new() { Parent = piece, Step = new() { Kind = Step.Types.Kind.Move, Bench = $"{site}/benches/shelf", Worker = "Asa", Note = "to the wall" } });
        await new V1.DefectService.DefectServiceClient(Harness.Channel).ReportDefectAsync(new()
        {
            Parent = SampleStudio.Name,
            Defect = new() { Piece = piece, Kind = Defect.Types.Kind.Bubbles, Finder = "Ivo", Note = "a dozen, \"pin\" size" },
        });
    }

    private async Task KeepContainersAsync()
    {
        var (north, south) = (Can("resin", Sites[0]), Can("resin", Sites[1]));
        await Lots.OpenContainerAsync(new() { Name = Can("hardener", East) });
        var tank = await Lots.DecantContainerAsync(new() { Name = north, MassMg = 500_000 });
        await Lots.TopUpContainerAsync(new() { Name = tank.Name, Source = north, MassMg = 200_000 });
        await Lots.WeighBackContainerAsync(new() { Name = south, RemainingMassMg = 7_000_000 });
        await Lots.MoveContainerAsync(new() { Name = tank.Name, Site = Sites[1] });
        await Lots.HoldContainerAsync(new() { Name = south, Reason = "cloudy" });
        await Lots.ReleaseContainerAsync(new() { Name = south, Reason = "warmed up and clear" });
        await Lots.DiscardContainerAsync(new() { Name = tank.Name, Reason = "skin on top" });
        await Lots.HoldLotAsync(new() { Name = $"{SampleStudio.Name}/lots/hardener", Reason = "soft pieces" });
        await Lots.ReleaseLotAsync(new() { Name = $"{SampleStudio.Name}/lots/hardener", Reason = "the room was cold" });
    }

    /// <summary>A pour at 08:00, an hour before the harness begins, is closed.</summary>
    private async Task CloseSessionAsync()
    {
        await SampleTeaching.CreateAsync(Harness.Channel);
        var classes = new V1.ClassService.ClassServiceClient(Harness.Channel);
        var day = new Google.Type.Date { Year = 2026, Month = 2, Day = 6 };
        var trays = await classes.CreateCastingClassAsync(new()
        {
            Parent = SampleStudio.Name, CastingClassId = "trays",
            CastingClass = new() { DisplayName = "Trays", Offering = SampleTeaching.Tray, Sites = { SampleStudio.North }, FirstDate = day, LastDate = day },
        });
        await classes.ScheduleSessionsAsync(new()
        {
            Name = trays.Name,
            Sessions =
            {
                new SessionTime { Kind = Session.Types.Kind.Pour, Site = SampleStudio.North, Date = day, StartTimeOfDay = new() { Hours = 8 }, Instructor = SampleTeaching.Ana },
                new SessionTime { Kind = Session.Types.Kind.Machine, Site = SampleStudio.North, Date = new() { Year = 2026, Month = 2, Day = 13 }, StartTimeOfDay = new() { Hours = 9 }, Instructor = SampleTeaching.Ana },
            },
        });
        await classes.CloseSessionAsync(new() { Name = $"{trays.Name}/sessions/pour", Closer = "Ana", RagsSafe = true });
    }

    private async Task CorrectAsync()
    {
        var mix = (await Mixes.ListMixesAsync(new() { Parent = SampleStudio.Name })).Mixes[0];
        await Mixes.CorrectMixAsync(new()
        {
            Name = mix.Name, Kind = Correction.Types.Kind.IncorrectData, Person = "Ana", Reason = "read off the wrong line",
            Draws = { new CorrectMixRequest.Types.RightDraw { Container = mix.Draws[0].Container, MassMg = 100_500 } },
        });
    }

    private async Task RecallAsync()
    {
        var recalls = new V1.RecallService.RecallServiceClient(Harness.Channel);
        var recall = await recalls.StartRecallAsync(new()
        {
            Parent = SampleStudio.Name, Scope = new() { Name = $"{SampleStudio.Name}/lots/resin" }, Reason = "soft pieces", Starter = "Ana",
        });
        await recalls.AcknowledgeRecallNoticeAsync(new() { Name = recall.Notices[0].Name, Answer = RecallNotice.Types.Answer.Kept, Person = "Ana" });
        await recalls.CloseRecallAsync(new() { Name = recall.Name, Outcome = "all hard", Closer = "Ana", Release = true });
    }
}
