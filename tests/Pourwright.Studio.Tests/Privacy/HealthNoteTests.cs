using Grpc.Core;
using Pourwright.Studio.Tests.Classes;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Privacy;

/// <summary>What a student says of their health: read on the day it is needed, and in no list.</summary>
public sealed class HealthNoteTests : IAsyncLifetime
{
    private const string Mia = "studios/alder/students/mia";

    private readonly ClassStudio _studio = new();

    private V1.PrivacyService.PrivacyServiceClient Owner => new(_studio.Harness.Channel);

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await _studio.AskAsync();
        await _studio.EnrolAsync("mia");
        await _studio.Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await Owner.SetHealthNoteAsync(new() { Student = Mia, Note = "skin reacts", Consent = true });
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    // The pour is on 21 February at the north site, in Lisbon.
    [Theory]
    [InlineData("2026-02-20T23:59", Role.Instructor, SampleStudio.North, false)]
    [InlineData("2026-02-21T00:00", Role.Instructor, SampleStudio.North, true)]
    [InlineData("2026-02-21T23:59", Role.Lead, "", true)]
    [InlineData("2026-02-22T00:00", Role.Instructor, SampleStudio.North, false)]
    [InlineData("2026-02-22T00:00", Role.Owner, "", true)]
    public async Task Note_IsReadByWhoTeaches_OnTheDay_AndByTheOwner(string utc, Role role, string site, bool isRead)
    {
        await _studio.GoToAsync(utc);
        using var channel = _studio.Harness.OpenChannel(await KeyAsync(role, site));
        var read = new V1.PrivacyService.PrivacyServiceClient(channel).GetHealthNoteAsync(new() { Student = Mia }).ResponseAsync;

        if (isRead) Assert.Equal("skin reacts", (await read).Note);
        else Assert.Equal("NOT_ALLOWED", (await Assert.ThrowsAsync<RpcException>(() => read)).Reason());
    }

    [Fact]
    public async Task Note_StandsInNoOtherAnswer()
    {
        var answers = $"{await _studio.Students.GetStudentAsync(new() { Name = Mia })}{await _studio.Students.ListStudentsAsync(new() { Parent = SampleStudio.Name })}"
            + $"{await _studio.Students.ListEnrolmentsAsync(new() { Parent = ClassStudio.Trays })}{await _studio.Classes.GetCastingClassAsync(new() { Name = ClassStudio.Trays })}"
            + $"{await Owner.SetHealthNoteAsync(new() { Student = Mia, Note = "skin reacts", Consent = true })}";

        Assert.Contains("mia", answers, StringComparison.Ordinal);
        Assert.DoesNotContain("skin", answers, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("skin reacts", false)]
    [InlineData("", true)]
    public async Task Note_WithoutConsentOrWords_IsForgotten(string note, bool consent)
    {
        await Owner.SetHealthNoteAsync(new() { Student = Mia, Note = note, Consent = consent });

        var kept = await Owner.GetHealthNoteAsync(new() { Student = Mia });
        Assert.Equal(("", null), (kept.Note, kept.ConsentTime));
    }

    private async Task<string> KeyAsync(Role role, string site) => (await new V1.AccessService.AccessServiceClient(_studio.Harness.Channel).CreateAccessKeyAsync(
        new() { Parent = SampleStudio.Name, AccessKey = new() { DisplayName = "Ana", Role = role, Sites = { site.Length > 0 ? [site] : [] } } })).Secret;
}
