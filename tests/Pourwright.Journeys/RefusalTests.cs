using System.Net;
using System.Net.Http.Headers;
using System.Security.Cryptography;
using System.Text;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Grpc.Net.Client;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys;

/// <summary>A studio mid-class, refused in every way: one row a refusal. After each one the whole database is what it was before.</summary>
public sealed class RefusalTests(RefusalTests.Studio studio) : IClassFixture<RefusalTests.Studio>
{
    private const string Unknown = "studios/alder/pieces/no-such-piece";

    public static TheoryData<string, StatusCode, string, string> Table
    {
        get
        {
            var table = new TheoryData<string, StatusCode, string, string>();
            foreach (var (claim, refusal) in Cases) table.Add(claim, refusal.Code, refusal.Reason, refusal.Field);
            return table;
        }
    }

    [Theory]
    [MemberData(nameof(Table))]
    public async Task Refused_WithItsReason_AndNothingHalfWritten(string claim, StatusCode code, string reason, string field)
    {
        var before = studio.Fingerprint();

        var refusal = await Assert.ThrowsAsync<RpcException>(() => Cases[claim].Call(studio.Channel));

        Assert.Equal((code, reason), (refusal.StatusCode, refusal.Reason()));
        if (field.Length > 0) Assert.Contains(field, refusal.Fields());
        Assert.Equal(before, studio.Fingerprint());
    }

    [Fact]
    public void Table_HasAtLeastFortyRows() => Assert.True(Cases.Count >= 40, $"{Cases.Count} rows");

    private sealed record Case(StatusCode Code, string Reason, string Field, Func<GrpcChannel, Task> Call);

    private static readonly Dictionary<string, Case> Cases = new()
    {
        // Malformed: INVALID_ARGUMENT with the field's path.
        ["a mix below no studio"] = Malformed("parent", MixCall(request => request.Parent = "alder")),
        ["a mix without its mixer"] = Malformed("mix.mixer", MixCall(request => request.Mix.Mixer = "")),
        ["a mix without draws"] = Malformed("mix.draws", MixCall(request => request.Mix.Draws.Clear())),
        ["a draw of nothing"] = Malformed("mix.draws[0].mass_mg", MixCall(request => request.Mix.Draws[0].MassMg = 0)),
        ["a draw of less than nothing"] = Malformed("mix.draws[1].mass_mg", MixCall(request => request.Mix.Draws[1].MassMg = -420_000)),
        ["a mix at boiling heat"] = Malformed("mix.temperature_celsius", MixCall(request => request.Mix.TemperatureCelsius = 99)),
        ["a mix at no number of degrees"] = Malformed("mix.temperature_celsius", MixCall(request => request.Mix.TemperatureCelsius = double.NaN)),
        ["a mix whose id has capitals"] = Malformed("mix_id", MixCall(request => request.MixId = "Mix-1")),
        ["a request id that is no UUID"] = Malformed("request_id", MixCall(request => request.RequestId = "again")),
        ["a pour of no depth"] = Malformed("pour.depth_mm", PourCall(request => request.Pour.DepthMm = 0)),
        ["a pour of endless depth"] = Malformed("pour.depth_mm", PourCall(request => request.Pour.DepthMm = double.PositiveInfinity)),
        ["a pour of no mass"] = Malformed("pour.mass_mg", PourCall(request => request.Pour.MassMg = 0)),
        ["a pour by nobody"] = Malformed("pour.pourer", PourCall(request => request.Pour.Pourer = "")),
        ["a pour on no bench"] = Malformed("pour.bench", PourCall(request => request.Pour.Bench = "the shelf")),
        ["a check that saw nothing"] = Malformed("check", CheckCall(request => request.Check.Touch = Check.Types.Touch.Unspecified)),
        ["a Shore D over its scale"] = Malformed("check.shore_d", CheckCall(request => request.Check.ShoreD = 101)),
        ["a step of no kind"] = Malformed("step.kind", StepCall(request => request.Step.Kind = Step.Types.Kind.Unspecified)),
        ["a reading over 100 % humidity"] = Malformed("readings[0].relative_humidity_percent", ReadingCall(reading => reading.RelativeHumidityPercent = 101)),
        ["a reading of no sensor"] = Malformed("readings[0].sensor", ReadingCall(reading => reading.Sensor = "logger")),
        ["a reading of another site's sensor"] = Malformed("readings[0].sensor", ReadingCall(reading => reading.Sensor = SampleStudio.SouthSensor)),
        ["no readings at all"] = Malformed("readings", channel => new ClimateService.ClimateServiceClient(channel).RecordReadingsAsync(new() { Parent = SampleStudio.North }).ResponseAsync),
        ["a page of less than nothing"] = Malformed("page_size", channel => new MixService.MixServiceClient(channel).ListMixesAsync(new() { Parent = SampleStudio.Name, PageSize = -1 }).ResponseAsync),
        ["a lot without its code"] = Malformed("lot.supplier_lot_code", channel => new LotService.LotServiceClient(channel).ReceiveLotAsync(
            new() { Parent = SampleStudio.Name, Lot = new() { Part = Part.A, ResinSystem = SampleStudio.Deep }, Containers = { new ContainerReceipt { Site = SampleStudio.North, ReceivedMassMg = 1 } } }).ResponseAsync),
        ["a hold without a reason"] = Malformed("reason", channel => new LotService.LotServiceClient(channel).HoldLotAsync(new() { Name = "studios/alder/lots/deep-a-lot" }).ResponseAsync),
        ["a volume ratio without densities"] = Malformed("resin_system.a_density_kg_per_m3", channel => new ResinService.ResinServiceClient(channel).CreateResinSystemAsync(new()
        {
            Parent = SampleStudio.Name,
            ResinSystem = new() { DisplayName = "Cast", Basis = ResinSystem.Types.Basis.Volume, HardenerPartsPer100Resin = 50, RatioTolerancePercent = 3, CureClass = ResinSystem.Types.CureClass.FastCoating },
        }).ResponseAsync),
        ["a span of a minute and a minus nanosecond"] = Malformed("sensor.report_interval", channel => new SiteService.SiteServiceClient(channel).CreateSensorAsync(
            new() { Parent = SampleStudio.North, Sensor = new() { DisplayName = "Odd", ReportInterval = new() { Seconds = 60, Nanos = -1 } } }).ResponseAsync),
        ["lots planned with a margin of no span"] = Malformed("expiry_margin", channel => new NeedService.NeedServiceClient(channel).PlanLotsAsync(
            new() { Parent = SampleStudio.Name, ExpiryMargin = new() { Nanos = int.MaxValue } }).ResponseAsync),
        ["lots planned for the end of the calendar"] = Malformed("end_time", channel => new NeedService.NeedServiceClient(channel).PlanLotsAsync(
            new() { Parent = SampleStudio.Name, StartTime = Timestamp.FromDateTimeOffset(DateTimeOffset.MaxValue) }).ResponseAsync),
        ["a recall of the first day of the calendar"] = Malformed("scope.date", channel => new RecallService.RecallServiceClient(channel).StartRecallAsync(
            new() { Parent = SampleStudio.Name, Reason = "soft pieces", Starter = "Ana", Scope = new() { Name = SampleStudio.North, Date = new() { Year = 1, Month = 1, Day = 1 } } }).ResponseAsync),
        ["a key that ends at no instant"] = Malformed("access_key.expire_time", channel => new AccessService.AccessServiceClient(channel).CreateAccessKeyAsync(
            new() { Parent = SampleStudio.Name, AccessKey = new() { DisplayName = "Tablet", Role = Role.Device, ExpireTime = new() { Nanos = -1 } } }).ResponseAsync),
        ["a forecast that is named a slash"] = Malformed("name", channel => new ForecastService.ForecastServiceClient(channel).GetForecastAsync(new() { Name = "/" }).ResponseAsync),
        ["a reason with a character that no store keeps"] = Malformed("mix.deviation_reason", MixCall(request => request.Mix.DeviationReason = "by\0eye")),
        ["a page token of another list"] = Refused(StatusCode.InvalidArgument, "PAGE_TOKEN_INVALID", channel => new MixService.MixServiceClient(channel).ListMixesAsync(
            new() { Parent = SampleStudio.Name, PageToken = "AAAA" }).ResponseAsync, "page_token"),

        // Not there, or there already.
        ["a piece that is not there"] = Refused(StatusCode.NotFound, "PIECE_NOT_FOUND", channel => new PieceService.PieceServiceClient(channel).GetPieceAsync(new() { Name = Unknown }).ResponseAsync),
        ["a trace of a piece that is not there"] = Refused(StatusCode.NotFound, "PIECE_NOT_FOUND", channel => new TraceService.TraceServiceClient(channel).TracePieceAsync(new() { Name = Unknown }).ResponseAsync),
        ["a forecast of a piece never poured"] = Refused(StatusCode.NotFound, "FORECAST_NOT_FOUND", channel => new ForecastService.ForecastServiceClient(channel).GetForecastAsync(new() { Name = "studios/alder/pieces/dry/forecasts/latest" }).ResponseAsync),
        ["a mix at a site that is not there"] = Refused(StatusCode.NotFound, "SITE_NOT_FOUND", MixCall(request => request.Mix.Site = "studios/alder/sites/east")),
        ["a draw from a container that is not there"] = Refused(StatusCode.NotFound, "CONTAINER_NOT_FOUND", MixCall(request => request.Mix.Draws[0].Container = "studios/alder/containers/none")),
        ["a defect of a piece that is not there"] = Refused(StatusCode.NotFound, "PIECE_NOT_FOUND", channel => new DefectService.DefectServiceClient(channel).ReportDefectAsync(
            new() { Parent = SampleStudio.Name, Defect = new() { Piece = Unknown, Kind = Defect.Types.Kind.Soft, Finder = "Olive" } }).ResponseAsync),
        ["a mix whose id is taken"] = Refused(StatusCode.AlreadyExists, "MIX_EXISTS", MixCall(request => request.MixId = "mix-1")),
        ["a lot whose id is taken"] = Refused(StatusCode.AlreadyExists, "LOT_EXISTS", channel => SampleStudio.ReceiveAsync(channel, SampleStudio.Deep, "deep-a-lot", Part.A, "deep-a9", 1)),
        ["a container whose code is taken"] = Refused(StatusCode.AlreadyExists, "CONTAINER_EXISTS", channel => SampleStudio.ReceiveAsync(channel, SampleStudio.Deep, "deep-a-lot-2", Part.A, "deep-a1", 1)),
        ["a duplicate request id with another body"] = Refused(StatusCode.InvalidArgument, "REQUEST_ID_REUSED", MixCall(request => (request.RequestId, request.Mix.Mixer) = (Studio.SpentRequestId, "Asa")), "request_id"),

        // Well-formed, and against a rule.
        ["half as much hardener again"] = Refused(StatusCode.FailedPrecondition, "RATIO_OUT_OF_TOLERANCE", MixCall(request => request.Mix.Draws[1].MassMg = 630_000)),
        ["more than a container holds"] = Refused(StatusCode.FailedPrecondition, "CONTAINER_SHORT", MixCall(request => (request.Mix.Draws[0].Container, request.Mix.Draws[0].MassMg) = ("studios/alder/containers/deep-a-small", 1_000_000))),
        ["a batch over its limit"] = Refused(StatusCode.FailedPrecondition, "BATCH_TOO_LARGE", MixCall(request => (request.Mix.Draws[0].MassMg, request.Mix.Draws[1].MassMg) = (5_000_000, 2_100_000))),
        ["a held lot"] = Refused(StatusCode.FailedPrecondition, "LOT_HELD", MixCall(request => request.Mix.Draws[0].Container = "studios/alder/containers/deep-a-held")),
        ["an expired container"] = Refused(StatusCode.FailedPrecondition, "CONTAINER_EXPIRED", MixCall(request => request.Mix.Draws[0].Container = "studios/alder/containers/deep-a-old")),
        ["hardener of another system"] = Refused(StatusCode.FailedPrecondition, "RESIN_SYSTEM_MISMATCH", MixCall(request => request.Mix.Draws[1].Container = "studios/alder/containers/coat-b1")),
        ["a mix tomorrow"] = Refused(StatusCode.InvalidArgument, "TIME_IN_FUTURE", MixCall(request => request.Mix.MixTime = At(24)), "mix.mix_time"),
        ["a pour of more than was mixed"] = Refused(StatusCode.FailedPrecondition, "MIX_SHORT", PourCall(request => request.Pour.MassMg = 9_000_000)),
        ["a pour deeper than the system's limit"] = Refused(StatusCode.FailedPrecondition, "DEPTH_OVER_LIMIT", PourCall(request => request.Pour.DepthMm = 41)),
        ["a pour before its mix"] = Refused(StatusCode.FailedPrecondition, "TIME_OUT_OF_ORDER", PourCall(request => request.Pour.PourTime = At(-24))),
        ["a pour on a bench of another site"] = Refused(StatusCode.FailedPrecondition, "SITE_MISMATCH", PourCall(request => request.Pour.Bench = SampleStudio.SouthBench)),
        ["a pour into a demolded piece"] = Refused(StatusCode.FailedPrecondition, "PIECE_DEMOLDED", PourCall(request => request.Parent = "studios/alder/pieces/demolded")),
        ["sanding before demolding"] = Refused(StatusCode.FailedPrecondition, "PIECE_NOT_DEMOLDED", StepCall(request => request.Step.Kind = Step.Types.Kind.Sand)),
        ["demolding what was never poured"] = Refused(StatusCode.FailedPrecondition, "PIECE_NOT_POURED", StepCall(request => (request.Parent, request.Step.Kind) = ("studios/alder/pieces/dry", Step.Types.Kind.Demold))),
        ["a reading that contradicts an earlier one"] = Refused(StatusCode.FailedPrecondition, "READING_CONFLICT", ReadingCall(reading => reading.TemperatureCelsius = 25)),
        ["a prediction in a room colder than the model goes"] = Refused(StatusCode.FailedPrecondition, "CURE_MODEL_RANGE", channel => new CureService.CureServiceClient(channel).PredictCureAsync(new()
        {
            CureClass = ResinSystem.Types.CureClass.DeepCasting,
            Layers = { new PredictCureRequest.Types.Layer { DepthMm = 40, TemperatureCelsius = 20 } },
            Room = { new PredictCureRequest.Types.RoomPoint { TemperatureCelsius = -15 } },
        }).ResponseAsync),

        // Garbage. A method that is not there carries no reason of ours.
        ["a message over the size limit"] = Refused(StatusCode.ResourceExhausted, "MESSAGE_TOO_LARGE", MixCall(request => request.Mix.DeviationReason = new string('x', 2_000_000))),
        ["a method that is not there"] = Refused(StatusCode.Unimplemented, "", channel => RawAsync(channel, "/pourwright.v1.MixService/Nothing", [])),
        ["a parent as long as a book"] = Malformed("parent", channel => new PieceService.PieceServiceClient(channel).CreatePieceAsync(
            new() { Parent = new string('x', 100_000), Piece = new() { Site = SampleStudio.North, Label = "Lost" } }).ResponseAsync),
        ["an etag as long as a book"] = Refused(StatusCode.Aborted, "ETAG_STALE", channel => new SiteService.SiteServiceClient(channel).UpdateSiteAsync(
            new() { Site = new() { Name = SampleStudio.North, DisplayName = "North", Etag = new string('x', 200_000) } }).ResponseAsync),
        ["a kept seal that is nothing"] = Malformed("kept_seal", channel => VerifyAsync(channel, "null")),
        ["a kept seal over no head"] = Malformed("kept_seal", channel => VerifyAsync(channel,
            $$"""{"format": "pourwright seal 1", "seal_time_ms": 0, "head_count": 1, "root": "{{new string('0', 64)}}", "heads": [null]}""")),
        ["a stream whose message is none"] = Refused(StatusCode.InvalidArgument, "MESSAGE_UNREADABLE", channel => StreamRawAsync(channel, "/pourwright.v1.ClimateService/StreamReadings", [0xff, 0xff])),
        ["bytes that are no message"] = Refused(StatusCode.InvalidArgument, "MESSAGE_UNREADABLE", channel => RawAsync(channel, "/pourwright.v1.MixService/RecordMix", [0xff, 0xff, 0xff, 0xff])),
    };

    private static Case Malformed(string field, Func<GrpcChannel, Task> call) => new(StatusCode.InvalidArgument, "FIELD_INVALID", field, call);

    private static Case Refused(StatusCode code, string reason, Func<GrpcChannel, Task> call, string field = "") => new(code, reason, field, call);

    private static Func<GrpcChannel, Task> MixCall(Action<RecordMixRequest> spoil) => channel =>
    {
        var request = Studio.GoodMix("");
        spoil(request);
        return new MixService.MixServiceClient(channel).RecordMixAsync(request).ResponseAsync;
    };

    private static Func<GrpcChannel, Task> PourCall(Action<RecordPourRequest> spoil) => channel =>
    {
        var request = Studio.GoodPour("curing");
        spoil(request);
        return new PieceService.PieceServiceClient(channel).RecordPourAsync(request).ResponseAsync;
    };

    private static Func<GrpcChannel, Task> CheckCall(Action<RecordCheckRequest> spoil) => channel =>
    {
        var request = new RecordCheckRequest { Parent = "studios/alder/pieces/curing", Check = new() { Checker = "Ivo", Touch = Check.Types.Touch.Firm } };
        spoil(request);
        return new PieceService.PieceServiceClient(channel).RecordCheckAsync(request).ResponseAsync;
    };

    private static Func<GrpcChannel, Task> StepCall(Action<RecordStepRequest> spoil) => channel =>
    {
        var request = new RecordStepRequest { Parent = "studios/alder/pieces/curing", Step = new() { Kind = Step.Types.Kind.Demold, Worker = "Ivo" } };
        spoil(request);
        return new PieceService.PieceServiceClient(channel).RecordStepAsync(request).ResponseAsync;
    };

    private static Func<GrpcChannel, Task> ReadingCall(Action<Reading> spoil) => channel =>
    {
        var request = Studio.GoodReadings();
        spoil(request.Readings[0]);
        return new ClimateService.ClimateServiceClient(channel).RecordReadingsAsync(request).ResponseAsync;
    };

    /// <summary>Any bytes as the one message of a call.</summary>
    private static Task<byte[]> RawAsync(GrpcChannel channel, string method, byte[] bytes) =>
        channel.CreateCallInvoker().AsyncUnaryCall(Raw(MethodType.Unary, method), null, new CallOptions(), bytes).ResponseAsync;

    private static async Task VerifyAsync(GrpcChannel channel, string keptSeal)
    {
        using var steps = new SealService.SealServiceClient(channel).VerifyEvidence(new() { Parent = SampleStudio.Name, KeptSeal = keptSeal });
        await steps.ResponseStream.MoveNext(default);
    }

    /// <summary>Any bytes as the first message of a stream.</summary>
    private static async Task StreamRawAsync(GrpcChannel channel, string method, byte[] bytes)
    {
        using var stream = channel.CreateCallInvoker().AsyncClientStreamingCall(Raw(MethodType.ClientStreaming, method), null, new CallOptions());
        await stream.RequestStream.WriteAsync(bytes);
        await stream.ResponseAsync;
    }

    private static Method<byte[], byte[]> Raw(MethodType type, string method)
    {
        var parts = method.Split('/');
        var bytesAsTheyAre = Marshallers.Create<byte[]>(value => value, value => value);
        return new(type, parts[1], parts[2], bytesAsTheyAre, bytesAsTheyAre);
    }

    private static Timestamp At(double hoursAfterStart) => Timestamp.FromDateTimeOffset(StudioHarness.Start.AddHours(hoursAfterStart));

    /// <summary>JSON that is cut off, and JSON of another shape, are refused by the same service on its other port.</summary>
    [Theory]
    [InlineData("{\"mixer\":")]
    [InlineData("[]")]
    [InlineData("{\"mixer\": {\"a\": 1}}")]
    [InlineData("{\"draws\": [{\"massMg\": \"much\"}]}")]
    public async Task GarbageJson_IsABadRequest_AndNothingHalfWritten(string body)
    {
        var before = studio.Fingerprint();
        using var client = studio.OpenHttp();

        using var answer = await client.PostAsync("/v1/studios/alder/mixes", new StringContent(body, Encoding.UTF8, MediaTypeHeaderValue.Parse("application/json")));

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Contains("\"code\":3", await answer.Content.ReadAsStringAsync(), StringComparison.Ordinal);
        Assert.Equal(before, studio.Fingerprint());
    }

    /// <summary>The studio they are refused by: lots good, small, held and old; a piece dry, one curing, one demolded.</summary>
    public sealed class Studio : IAsyncLifetime
    {
        public const string SpentRequestId = "0d7c2f5e-3b1a-4c7e-9a51-6f0d2b8c4e11";

        private StudioHarness _harness = null!;

        public GrpcChannel Channel => _harness.Channel;

        public HttpClient OpenHttp() => _harness.OpenHttp();

        public async Task InitializeAsync()
        {
            _harness = await StudioHarness.StartAsync();
            _harness.ExpectErrorContaining("InvalidProtocolBufferException");
            await SampleStudio.CreateAsync(_harness);
            await SampleStudio.ReceiveLotsAsync(_harness);
            await SampleStudio.ReceiveAsync(Channel, SampleStudio.Deep, "deep-a-small-lot", Part.A, "deep-a-small", 500_000);
            await SampleStudio.ReceiveAsync(Channel, SampleStudio.Deep, "deep-a-held-lot", Part.A, "deep-a-held", 5_000_000);
            await SampleStudio.ReceiveAsync(Channel, SampleStudio.Coat, "coat-b-lot", Part.B, "coat-b1", 5_000_000);
            var lots = new LotService.LotServiceClient(Channel);
            await lots.HoldLotAsync(new() { Name = "studios/alder/lots/deep-a-held-lot", Reason = "gel test failed" });
            await lots.ReceiveLotAsync(new()
            {
                Parent = SampleStudio.Name,
                LotId = "deep-a-old-lot",
                Lot = new() { Part = Part.A, ResinSystem = SampleStudio.Deep, SupplierLotCode = "OLD", ExpiryDate = new() { Year = 2026, Month = 2, Day = 6 } },
                Containers = { new ContainerReceipt { ContainerId = "deep-a-old", Site = SampleStudio.North, ReceivedMassMg = 5_000_000 } },
            });
            var mixes = new MixService.MixServiceClient(Channel);
            var spent = GoodMix("mix-1");
            spent.RequestId = SpentRequestId;
            await mixes.RecordMixAsync(spent);
            var pieces = new PieceService.PieceServiceClient(Channel);
            foreach (var id in new[] { "dry", "curing", "demolded" })
                await pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = SampleStudio.North, Label = id } });
            await pieces.RecordPourAsync(GoodPour("curing"));
            await pieces.RecordPourAsync(GoodPour("demolded"));
            await pieces.RecordStepAsync(new() { Parent = "studios/alder/pieces/demolded", Step = new() { Kind = Step.Types.Kind.Demold, Worker = "Ivo" } });
            await new ClimateService.ClimateServiceClient(Channel).RecordReadingsAsync(GoodReadings());
            await _harness.SettleAsync();
        }

        public async Task DisposeAsync() => await _harness.DisposeAsync();

        public static RecordMixRequest GoodMix(string id) => new()
        {
            Parent = SampleStudio.Name,
            MixId = id,
            Mix = new()
            {
                Site = SampleStudio.North,
                ResinSystem = SampleStudio.Deep,
                Mixer = "Ivo",
                Draws =
                {
                    new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 1_000_000 },
                    new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 420_000 },
                },
            },
        };

        public static RecordPourRequest GoodPour(string piece) => new()
        {
            Parent = $"studios/alder/pieces/{piece}",
            Pour = new() { Mix = "studios/alder/mixes/mix-1", Bench = SampleStudio.NorthBench, MassMg = 400_000, DepthMm = 20, Pourer = "Ivo" },
        };

        public static RecordReadingsRequest GoodReadings() => new()
        {
            Parent = SampleStudio.North,
            Readings = { new Reading { Sensor = SampleStudio.NorthSensor, ReadingTime = At(0), TemperatureCelsius = 20, RelativeHumidityPercent = 50 } },
        };

        /// <summary>SHA-256 over every row of every table, but for the entries that say who was refused.</summary>
        public string Fingerprint()
        {
            using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
            foreach (var row in _harness.Store.Rows().Where(row => !row.Contains("audit_entries", StringComparison.Ordinal))) hash.AppendData(Encoding.UTF8.GetBytes($"{row}\n"));
            return Convert.ToHexString(hash.GetHashAndReset());
        }
    }
}
