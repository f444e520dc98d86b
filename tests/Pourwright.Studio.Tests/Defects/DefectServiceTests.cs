using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Tests.Pieces;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Defects;

public sealed class DefectServiceTests(PieceStudio studio) : IClassFixture<PieceStudio>
{
    private const StatusCode Invalid = StatusCode.InvalidArgument;

    private sealed record Case(Action<ReportDefectRequest> Change, StatusCode Code, string Reason, string Field = "");

    private static readonly Dictionary<string, Case> Cases = new()
    {
        ["absent"] = new(r => r.Defect = null, Invalid, Reasons.FieldInvalid, "defect.piece"),
        ["of a piece of another studio"] = new(r => r.Defect.Piece = "studios/birch/pieces/seven", Invalid, Reasons.FieldInvalid, "defect.piece"),
        ["of no kind"] = new(r => r.Defect.Kind = Defect.Types.Kind.Unspecified, Invalid, Reasons.FieldInvalid, "defect.kind"),
        ["of an unknown kind"] = new(r => r.Defect.Kind = (Defect.Types.Kind)99, Invalid, Reasons.FieldInvalid, "defect.kind"),
        ["of another kind that is not said"] = new(r => (r.Defect.Kind, r.Defect.Note) = (Defect.Types.Kind.Other, " "), Invalid, Reasons.FieldInvalid, "defect.note"),
        ["found by nobody"] = new(r => r.Defect.Finder = "", Invalid, Reasons.FieldInvalid, "defect.finder"),
        ["with a note of 2001"] = new(r => r.Defect.Note = new('x', 2001), Invalid, Reasons.FieldInvalid, "defect.note"),
        ["with 21 photos"] = new(r => r.Defect.PhotoUris.Add(Enumerable.Repeat("https://alder.example/a.jpg", 21)), Invalid, Reasons.FieldInvalid, "defect.photo_uris"),
        ["with a photo that is a path"] = new(r => r.Defect.PhotoUris.Add("photos/a.jpg"), Invalid, Reasons.FieldInvalid, "defect.photo_uris[0]"),
        ["with a photo that is a script"] = new(r => r.Defect.PhotoUris.Add("javascript:alert(1)"), Invalid, Reasons.FieldInvalid, "defect.photo_uris[0]"),
        ["found six minutes ahead"] = new(r => r.Defect.FindTime = Timestamp.FromDateTimeOffset(PieceStudio.Now.AddMinutes(6)), Invalid, Reasons.TimeInFuture, "defect.find_time"),
        ["of no piece"] = new(r => r.Defect.Piece = PieceStudio.PieceNamed("nowhere"), StatusCode.NotFound, Reasons.PieceNotFound),
    };

    private readonly V1.DefectService.DefectServiceClient _defects = new(studio.Harness.Channel);

    public static TheoryData<string> Reported => [.. Cases.Keys];

    [Theory]
    [MemberData(nameof(Reported))]
    public async Task Refused_WithCodeReasonAndField_AndNothingIsKept(string reported)
    {
        var (change, code, reason, field) = Cases[reported];
        var request = Request("given");
        change(request);
        var rows = studio.RowCount();

        var refusal = await Assert.ThrowsAsync<RpcException>(() => _defects.ReportDefectAsync(request).ResponseAsync);

        Assert.Equal((code, reason, field), (refusal.StatusCode, refusal.Reason(), refusal.Fields() is [var first, ..] ? first : ""));
        Assert.Equal(rows, studio.RowCount());
    }

    [Fact]
    public async Task ReportDefect_OnAPieceGivenAway_IsKeptAsSeen()
    {
        var request = Request("given");
        request.Defect.Note = "Two dents.\nSoft under the nail.";
        request.Defect.PhotoUris.Add("https://alder.example/a.jpg");

        var defect = await _defects.ReportDefectAsync(request);

        Assert.Equal(PieceStudio.Now, defect.FindTime.ToDateTimeOffset());
        Assert.Equal((request.Defect.Note, "https://alder.example/a.jpg"), (defect.Note, Assert.Single(defect.PhotoUris)));
        Assert.Equal(defect, await _defects.GetDefectAsync(new() { Name = defect.Name }));
    }

    [Fact]
    public async Task ReportDefect_RepeatedWithTheSameRequestId_IsKeptOnce()
    {
        var request = Request("scrapped");
        request.RequestId = Guid.NewGuid().ToString();

        Assert.Equal(await _defects.ReportDefectAsync(request), await _defects.ReportDefectAsync(request));
        Assert.Single((await _defects.ListDefectsAsync(new() { Parent = SampleStudio.Name, Piece = request.Defect.Piece })).Defects);
    }

    [Fact]
    public async Task ReportDefect_WithAnIdThatIsTaken_IsRefused()
    {
        var request = Request("demolded");
        request.DefectId = "taken-id";
        await _defects.ReportDefectAsync(request);

        var refusal = await Assert.ThrowsAsync<RpcException>(() => _defects.ReportDefectAsync(request).ResponseAsync);

        Assert.Equal((StatusCode.AlreadyExists, Reasons.DefectExists), (refusal.StatusCode, refusal.Reason()));
    }

    [Fact]
    public async Task ListDefects_OfOnePiece_RunsByIdAndPages()
    {
        foreach (var id in new[] { "curing-c", "curing-a", "curing-b" })
        {
            var request = Request("curing");
            request.DefectId = id;
            await _defects.ReportDefectAsync(request);
        }
        var list = new ListDefectsRequest { Parent = SampleStudio.Name, Piece = PieceStudio.PieceNamed("curing"), PageSize = 2 };

        var first = await _defects.ListDefectsAsync(list);
        list.PageToken = first.NextPageToken;
        var last = await _defects.ListDefectsAsync(list);

        Assert.Equal(["curing-a", "curing-b", "curing-c"], first.Defects.Concat(last.Defects).Select(defect => defect.Name.Split('/')[^1]));
        Assert.Equal("", last.NextPageToken);
    }

    [Fact]
    public async Task GetDefect_ThatIsNotThere_IsNotFound() => Assert.Equal(Reasons.DefectNotFound,
        (await Assert.ThrowsAsync<RpcException>(() => _defects.GetDefectAsync(new() { Name = "studios/alder/defects/none" }).ResponseAsync)).Reason());

    private static ReportDefectRequest Request(string piece) => new()
    {
        Parent = SampleStudio.Name,
        Defect = new() { Piece = PieceStudio.PieceNamed(piece), Kind = Defect.Types.Kind.LowHardness, Finder = "Anna" },
    };
}
