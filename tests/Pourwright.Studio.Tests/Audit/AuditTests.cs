using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Studio.Audit;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Tests.Seals;
using Pourwright.Testing;
using Pourwright.V1;
using Outcome = Pourwright.V1.AuditEntry.Types.Outcome;

namespace Pourwright.Studio.Tests.Audit;

/// <summary>Who did what, on a running node.</summary>
public sealed class AuditTests : IAsyncLifetime
{
    private const string Piece = $"{SampleStudio.Name}/pieces/tray-1";

    private StudioHarness _node = null!;
    private V1.AuditService.AuditServiceClient _audit = null!;
    private V1.PieceService.PieceServiceClient _pieces = null!;
    private string _tablet = "";

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(_node);
        (_audit, _pieces) = (new(_node.Channel), new(_node.Channel));
        _tablet = (await new V1.AccessService.AccessServiceClient(_node.Channel).CreateAccessKeyAsync(new()
        {
            Parent = SampleStudio.Name, AccessKeyId = "tablet", AccessKey = new() { DisplayName = "Tablet", Role = Role.Device, Sites = { SampleStudio.North } },
        })).Secret;
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Write_Done_OneEntryThatSaysWhoWhatWhenAndWhere()
    {
        var requestId = Guid.NewGuid().ToString();
        await CreateAsync(Tablet(), requestId);

        var entry = Assert.Single(await ListAsync(new() { Method = "CreatePiece" }));
        Assert.Equal((Outcome.Done, "", $"{SampleStudio.Name}/accessKeys/tablet", Role.Device), (entry.Outcome, entry.Reason, entry.AccessKey, entry.Role));
        Assert.Equal((requestId, "127.0.0.1", 1), (entry.RequestId, entry.Address, (int)entry.CallCount));
        Assert.Equal([Piece, SampleStudio.Name, SampleStudio.North], entry.Names);
        Assert.Equal(StudioHarness.Start, entry.EntryTime.ToDateTimeOffset());
        Assert.DoesNotContain(_tablet, entry.ToString(), StringComparison.Ordinal);
    }

    // The name of a new studio is the node's to fill: what stands in it is passed over, and it need not be that of a studio.
    [Fact]
    public async Task StudioCreated_WithAnotherNameInItsRequest_IsEnteredWithItsOwn()
    {
        var studios = new V1.StudioService.StudioServiceClient(_node.Channel);
        await studios.CreateStudioAsync(new() { StudioId = "birch", Studio = new() { Name = "studios/nowhere", DisplayName = "Birch" } });

        var entry = Assert.Single((await _audit.ListAuditEntriesAsync(new() { Parent = "studios/birch" })).AuditEntries);
        Assert.Equal(("CreateStudio", Outcome.Done), (entry.Method, entry.Outcome));
    }

    // An entry holds twenty names: what was written is among them, however many the request has.
    [Fact]
    public async Task Write_ThatNamesManyThings_IsFoundByWhatItWrote()
    {
        var many = Enumerable.Range(1, 30).Select(number => new Contact { Role = Contact.Types.Role.Assistant, DisplayName = $"{SampleStudio.Name}/rooms/r-{number}" });
        var east = await new V1.SiteService.SiteServiceClient(_node.Channel).CreateSiteAsync(new()
        {
            Parent = SampleStudio.Name, SiteId = "east", Site = new() { DisplayName = "East", TimeZone = "Europe/Lisbon", Contacts = { many } },
        });

        var entry = Assert.Single(await ListAsync(new() { Subject = east.Name }));

        Assert.Equal(("CreateSite", 20), (entry.Method, entry.Names.Count));
    }

    [Fact]
    public async Task Write_RepeatedWithItsRequestId_OneEntry()
    {
        var requestId = Guid.NewGuid().ToString();
        for (var time = 0; time < 3; time++) await CreateAsync(Tablet(), requestId);

        Assert.Single(await ListAsync(new() { Method = "CreatePiece" }));
    }

    [Fact]
    public async Task Write_Refused_SaysSo_AndADryRunLeavesNothing()
    {
        await CreateAsync(_pieces);
        await Assert.ThrowsAsync<RpcException>(() => CreateAsync(_pieces));
        await Assert.ThrowsAsync<RpcException>(() => _pieces.RecordPourAsync(new() { Parent = Piece, ValidateOnly = true, Pour = new() }).ResponseAsync);

        var entries = await ListAsync(new() { Subject = SampleStudio.North });
        Assert.Equal([(Outcome.Refused, "PIECE_EXISTS"), (Outcome.Done, "")], entries.Where(entry => entry.Method == "CreatePiece").Select(entry => (entry.Outcome, entry.Reason)));
        Assert.Empty(await ListAsync(new() { Method = "RecordPour" }));
    }

    [Fact]
    public async Task Read_Answered_LeavesNothing_AndOneOfAMissingThingNeither()
    {
        await _pieces.ListPiecesAsync(new() { Parent = SampleStudio.Name });
        await Assert.ThrowsAsync<RpcException>(() => _pieces.GetPieceAsync(new() { Name = Piece }).ResponseAsync);

        Assert.DoesNotContain(await ListAsync(new()), entry => entry.Method is "ListPieces" or "GetPiece");
    }

    /// <summary>Each way to be denied: no key, too low a role, a thing of another site, read or written.</summary>
    [Fact]
    public async Task Call_Denied_IsEnteredWithItsReason()
    {
        await Assert.ThrowsAsync<RpcException>(() => CreateAsync(new(_node.OpenChannel(null))));
        await Assert.ThrowsAsync<RpcException>(() => new V1.SealService.SealServiceClient(_node.OpenChannel(_tablet)).CreateSealAsync(new() { Parent = SampleStudio.Name }).ResponseAsync);
        await Assert.ThrowsAsync<RpcException>(() => Tablet().ListPiecesAsync(new() { Parent = $"{SampleStudio.South}" }).ResponseAsync);

        var denied = await ListAsync(new() { DeniedOnly = true });
        Assert.Equal(
            [("ListPieces", "SITE_NOT_FOUND", "tablet"), ("CreateSeal", "NOT_ALLOWED", "tablet"), ("CreatePiece", "KEY_NOT_ACCEPTED", "")],
            denied.Select(entry => (entry.Method, entry.Reason, entry.AccessKey.Split('/')[^1])));
        Assert.All(denied, entry => Assert.Equal(Outcome.Denied, entry.Outcome));
        Assert.Equal([SampleStudio.South], denied[0].Names);
    }

    /// <summary>Whatever a caller writes: a student's id is kept only where it is that of a student of the studio, so that all that is kept can be forgotten.</summary>
    [Theory]
    [InlineData($"{SampleStudio.Name}/students/mia", $"{SampleStudio.Name}/students/mia")]
    [InlineData($"{SampleStudio.Name}/students/zed", $"{SampleStudio.Name}/students/-")]
    [InlineData($"{SampleStudio.Name}/classes/trays/enrolments/zed", $"{SampleStudio.Name}/classes/trays/enrolments/-")]
    [InlineData("studios/birch/students/zed", "studios/birch/students/-")]
    public async Task Denial_AboutAStudent_KeepsTheIdOfOneOnRecord(string said, string kept)
    {
        var studios = new V1.StudioService.StudioServiceClient(_node.Channel);
        await studios.CreateStudioAsync(new() { StudioId = "birch", Studio = new() { DisplayName = "Birch" } });
        var students = new V1.StudentService.StudentServiceClient(_node.Channel);
        await students.CreateStudentAsync(new() { Parent = SampleStudio.Name, StudentId = "mia", Student = new() { DisplayName = "Mia" } });
        await students.CreateStudentAsync(new() { Parent = "studios/birch", StudentId = "zed", Student = new() { DisplayName = "Zed" } });

        await TurnedAway.TellAsync(Denied(0) with { Names = $"{SampleStudio.North} {said}" });

        Assert.Equal([SampleStudio.North, kept], Assert.Single(await ListAsync(new() { DeniedOnly = true })).Names);
        Assert.Empty(await FaultsAsync());
    }

    /// <summary>500 calls alike: the first, then 499 in one entry when their minute is over; in the next minute there is a first again.</summary>
    [Fact]
    public async Task Flood_OfOneKind_TwoEntriesAMinute()
    {
        for (var call = 0; call < 500; call++) await DenyAsync("pieces/tray-1");
        Assert.Equal([1], await CountsAsync());

        await TurnedAway.EndMinuteAsync();
        Assert.Equal([499, 1], await CountsAsync());

        await DenyAsync("pieces/tray-1");
        Assert.Equal([1, 499, 1], await CountsAsync());

        async Task<IEnumerable<long>> CountsAsync() => (await ListAsync(new() { DeniedOnly = true })).Select(entry => entry.CallCount);
    }

    /// <summary>Kinds beyond the most are counted in the log: whatever comes, a minute takes no more than twice the most.</summary>
    [Fact]
    public async Task Flood_OfManyKinds_IsBounded()
    {
        for (var kind = 0; kind < 3 * TurnedAwayCalls.KindsMax; kind++)
            for (var call = 0; call < 3; call++) await TurnedAway.TellAsync(Denied(kind));
        await TurnedAway.EndMinuteAsync();

        // The first of each, then the two others of each.
        var counts = (await ListAsync(new() { DeniedOnly = true })).Select(entry => entry.CallCount).ToList();
        Assert.Equal((2 * TurnedAwayCalls.KindsMax, 3 * TurnedAwayCalls.KindsMax), (counts.Count, (int)counts.Sum()));
    }

    /// <summary>A studio that only the caller speaks of has no audit: nothing is made of it.</summary>
    [Fact]
    public async Task Denial_OfAStudioThatIsNone_LeavesNothing()
    {
        await TurnedAway.TellAsync(Denied(0) with { Studio = "studios/elsewhere" });

        Assert.Equal(0, Count("SELECT count(*) FROM audit_entries WHERE outcome = 3"));
    }

    /// <summary>Neither key nor message names a studio: each of the node hears of it.</summary>
    [Fact]
    public async Task Denial_OfNoStudio_IsEnteredWithEach()
    {
        await new V1.StudioService.StudioServiceClient(_node.Channel).CreateStudioAsync(new() { StudioId = "birch", Studio = new() { DisplayName = "Birch" } });
        await Assert.ThrowsAsync<RpcException>(() => new V1.StudioService.StudioServiceClient(_node.OpenChannel(null)).ListStudiosAsync(new()).ResponseAsync);

        Assert.Equal(2, Count("SELECT count(*) FROM audit_entries WHERE outcome = 3 AND method = 'ListStudios'"));
    }

    /// <summary>The entry is part of the write: where it fails, so does the write; where the write fails, there is no entry.</summary>
    [Fact]
    public async Task Entry_ThatFails_UndoesItsWrite_AndTheOtherWayRound()
    {
        var writes = _node.Services.GetRequiredService<WriteRequests>();
        var request = new CreatePieceRequest { Parent = SampleStudio.Name, RequestId = Guid.NewGuid().ToString() };
        var before = Count("SELECT count(*) FROM audit_entries");

        CallAtHand.Current = new Failing();
        await Assert.ThrowsAsync<InvalidOperationException>(() => writes.RunAsync(request, Rename, default));
        Assert.Equal("Alder", Named());

        CallAtHand.Current = new Entering();
        await Assert.ThrowsAsync<InvalidOperationException>(() => writes.RunAsync<CreatePieceRequest, V1.Piece>(request, tx => { Rename(tx); throw new InvalidOperationException("late"); }, default));
        Assert.Equal(("Alder", before), (Named(), Count("SELECT count(*) FROM audit_entries")));

        await writes.RunAsync(request, Rename, default);
        Assert.Equal(("renamed", before + 1), (Named(), Count("SELECT count(*) FROM audit_entries")));

        string Named() => _node.Reads.Read(session => session.Scalar<string>("SELECT display_name FROM studios"));
        static V1.Piece Rename(StudioTransaction tx)
        {
            tx.Execute("UPDATE studios SET display_name = 'renamed'");
            return new();
        }
    }

    [Theory]
    [InlineData("UPDATE audit_entries SET access_key = 'studios/alder/accessKeys/somebody-else' WHERE method = 'CreatePiece'")]
    [InlineData("UPDATE audit_entries SET outcome = 1 WHERE outcome = 3")]
    [InlineData("DELETE FROM audit_entries WHERE outcome = 3")]
    [InlineData("INSERT INTO audit_entries (studio, entry_ms, access_key, role, method, outcome, reason, names, request_id, address, call_count) SELECT studio, entry_ms, access_key, role, method, outcome, reason, names, request_id, address, call_count FROM audit_entries WHERE outcome = 3")]
    public async Task Entry_EditedDeletedOrPutIn_IsFound(string tampering)
    {
        await CreateAsync(_pieces);
        await DenyAsync("pieces/tray-1");
        Assert.Empty(await FaultsAsync());

        _node.Store.Alter(tampering);
        await _node.RestartAsync();

        Assert.Contains(await FaultsAsync(), fault => fault.Table == "audit_entries");
    }

    [Fact]
    public async Task List_ByKeyThingAndTime_InPages()
    {
        await CreateAsync(Tablet());
        _node.Clock.Advance(TimeSpan.FromHours(1));
        await _pieces.HoldPieceAsync(new() { Name = Piece, Person = "Ana", Reason = "soft" });
        await _pieces.ReleasePieceAsync(new() { Name = Piece, Person = "Ana", Reason = "hard" });

        Assert.Equal(["ReleasePiece", "HoldPiece", "CreatePiece"], Methods(await ListAsync(new() { Subject = Piece })));
        Assert.Equal(["CreatePiece"], Methods(await ListAsync(new() { AccessKey = $"{SampleStudio.Name}/accessKeys/tablet" })));
        var later = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddMinutes(30));
        Assert.Equal(["ReleasePiece", "HoldPiece"], Methods(await ListAsync(new() { StartTime = later })));
        Assert.Equal(["CreatePiece"], Methods(await ListAsync(new() { Subject = Piece, EndTime = later })));

        var first = await _audit.ListAuditEntriesAsync(new() { Parent = SampleStudio.Name, Subject = Piece, PageSize = 2 });
        var second = await _audit.ListAuditEntriesAsync(new() { Parent = SampleStudio.Name, Subject = Piece, PageSize = 2, PageToken = first.NextPageToken });
        Assert.Equal(["ReleasePiece", "HoldPiece"], Methods(first.AuditEntries));
        Assert.Equal(["CreatePiece"], Methods(second.AuditEntries));
        Assert.Equal("", second.NextPageToken);

        static string[] Methods(IEnumerable<AuditEntry> entries) => [.. entries.Select(entry => entry.Method)];
    }

    /// <summary>A stream of readings: an entry for each batch that was kept.</summary>
    [Fact]
    public async Task Stream_OfReadings_OneEntryABatch()
    {
        using var stream = new V1.ClimateService.ClimateServiceClient(_node.OpenChannel(_tablet)).StreamReadings();
        for (var batch = 0; batch < 2; batch++)
            await stream.RequestStream.WriteAsync(new()
            {
                Parent = SampleStudio.North,
                Readings = { new Reading { Sensor = SampleStudio.NorthSensor, ReadingTime = Timestamp.FromDateTimeOffset(StudioHarness.Start.AddMinutes(-batch)), TemperatureCelsius = 20, RelativeHumidityPercent = 50 } },
            });
        await stream.RequestStream.CompleteAsync();
        await stream;

        Assert.Equal(2, (await ListAsync(new() { Method = "StreamReadings" })).Count);
    }

    private TurnedAwayCalls TurnedAway => _node.Services.GetRequiredService<TurnedAwayCalls>();

    private V1.PieceService.PieceServiceClient Tablet() => new(_node.OpenChannel(_tablet));

    private static Task<V1.Piece> CreateAsync(V1.PieceService.PieceServiceClient pieces, string requestId = "") => pieces.CreatePieceAsync(new()
    {
        Parent = SampleStudio.Name, PieceId = "tray-1", RequestId = requestId, Piece = new() { Site = SampleStudio.North, Label = "tray-1", Maker = "Ana" },
    }).ResponseAsync;

    private async Task DenyAsync(string thing) => await Assert.ThrowsAsync<RpcException>(
        () => new V1.PieceService.PieceServiceClient(_node.OpenChannel(null)).GetPieceAsync(new() { Name = $"{SampleStudio.Name}/{thing}" }).ResponseAsync);

    private static AuditRecord Denied(int kind) => new()
    {
        Studio = SampleStudio.Name, EntryMs = 0, AccessKey = "", Role = Role.Unspecified, Method = $"Call{kind}", Outcome = Outcome.Denied, Reason = "KEY_NOT_ACCEPTED",
        Names = "", RequestId = "", Address = "", CallCount = 1,
    };

    private async Task<IReadOnlyList<AuditEntry>> ListAsync(ListAuditEntriesRequest request)
    {
        (request.Parent, request.PageSize) = (SampleStudio.Name, 500);
        return (await _audit.ListAuditEntriesAsync(request)).AuditEntries;
    }

    private async Task<IReadOnlyList<EvidenceFault>> FaultsAsync()
    {
        using var call = new V1.SealService.SealServiceClient(_node.Channel).VerifyEvidence(new() { Parent = SampleStudio.Name });
        List<EvidenceFault> faults = [];
        await foreach (var step in call.ResponseStream.ReadAllAsync())
            if (step.Fault is { } fault) faults.Add(fault);
        return faults;
    }

    private long Count(string sql) => _node.Reads.Read(session => session.Scalar<long>(sql));

    private sealed class Failing : CallAtHand
    {
        public override void Wrote(StudioTransaction transaction, IMessage request, IMessage answer) => throw new InvalidOperationException("no entry");
    }

    private sealed class Entering : CallAtHand
    {
        public override void Wrote(StudioTransaction transaction, IMessage request, IMessage answer) => transaction.Execute(
            """
            INSERT INTO audit_entries (studio, entry_ms, access_key, role, method, outcome, reason, names, request_id, address, call_count)
            SELECT name, 0, '', 0, '', 1, '', '', '', '', 1 FROM studios
            """);
    }
}
