using Grpc.Core;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Sites;

/// <summary>One refusal on the wire: the call, its code, its reason, the fields named.</summary>
public sealed record Refused(Func<TeachingStudio, Task> Call, StatusCode Code, string Reason, string Fields = "")
{
    public static Refused Invalid(Func<TeachingStudio, Task> call, string fields) => new(call, StatusCode.InvalidArgument, "FIELD_INVALID", fields);

    public static Refused NotFound(Func<TeachingStudio, Task> call, string reason) => new(call, StatusCode.NotFound, reason);

    public static Refused Exists(Func<TeachingStudio, Task> call, string reason) => new(call, StatusCode.AlreadyExists, reason);

    public static Refused Stale(Func<TeachingStudio, Task> call) => new(call, StatusCode.Aborted, "ETAG_STALE");

    /// <summary>Calls, and holds that the refusal is this one and that the database is as it was.</summary>
    public async Task HoldsAsync(TeachingStudio studio)
    {
        var before = studio.Rows();

        var refusal = await Assert.ThrowsAsync<RpcException>(() => Call(studio));

        Assert.Equal((Code, Reason, Fields), (refusal.StatusCode, refusal.Reason(), string.Join(',', refusal.Fields())));
        Assert.NotEmpty(refusal.Facts());
        Assert.Equal(before, studio.Rows());
    }
}

/// <summary>The sample studio with all it teaches with.</summary>
public sealed class TeachingStudio : IAsyncLifetime
{
    private static readonly string[] Tables =
        ["sites", "benches", "rooms", "stations", "outages", "travel", "offerings", "instructors", "instructor_offerings", "absences"];

    private StudioHarness _harness = null!;

    public StudioHarness Harness => _harness;

    public V1.SiteService.SiteServiceClient Sites => new(_harness.Channel);

    public V1.OfferingService.OfferingServiceClient Offerings => new(_harness.Channel);

    public V1.InstructorService.InstructorServiceClient Instructors => new(_harness.Channel);

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(_harness);
        await SampleTeaching.CreateAsync(_harness.Channel);
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    /// <summary>Every row of every table of places, offerings and instructors, as text.</summary>
    public IReadOnlyList<string> Rows() => _harness.Store.Rows(Tables);
}
