using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Sites;

public sealed class SiteServiceTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private SiteService.SiteServiceClient _sites = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        _sites = new(_harness.Channel);
        await new StudioService.StudioServiceClient(_harness.Channel).CreateStudioAsync(
            new() { StudioId = "alder", Studio = new() { DisplayName = "Alder" } });
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Fact]
    public async Task CreateSite_NothingSaid_TakesTheDefaults()
    {
        var site = await _sites.CreateSiteAsync(Request());

        Assert.Equal("studios/alder/sites/north", site.Name);
        Assert.Equal((21, 0), (site.QuietHoursStart.Hours, site.QuietHoursStart.Minutes));
        Assert.Equal((7, 0), (site.QuietHoursEnd.Hours, site.QuietHoursEnd.Minutes));
        Assert.Equal(TimeSpan.FromHours(2), site.ReminderSwing.ToTimeSpan());
        Assert.Equal(3, site.DewPointMarginCelsius);
    }

    [Fact]
    public async Task CreateSite_RepeatedWithTheSameRequestId_AnswersTheSameAndKeepsOne()
    {
        var request = Request();
        request.RequestId = Guid.NewGuid().ToString();

        var first = await _sites.CreateSiteAsync(request);
        var second = await _sites.CreateSiteAsync(request);

        Assert.Equal(first, second);
        Assert.Single((await _sites.ListSitesAsync(new() { Parent = "studios/alder" })).Sites);
    }

    [Fact]
    public async Task UpdateSite_WithMask_ChangesOnlyWhatTheMaskNames()
    {
        var site = await _sites.CreateSiteAsync(Request());

        var changed = await _sites.UpdateSiteAsync(new()
        {
            Site = new() { Name = site.Name, DisplayName = "Harbour", TimeZone = "Europe/Berlin" },
            UpdateMask = FieldMask.FromString("display_name"),
        });

        Assert.Equal(("Harbour", "Europe/Lisbon"), (changed.DisplayName, changed.TimeZone));
        Assert.NotEqual(site.Etag, changed.Etag);
        Assert.Equal(changed, await _sites.GetSiteAsync(new() { Name = site.Name }));
    }

    [Fact]
    public async Task UpdateSite_WithAnEtagOfAnEarlierState_IsAborted()
    {
        var site = await _sites.CreateSiteAsync(Request());
        await _sites.UpdateSiteAsync(new() { Site = new() { Name = site.Name, DisplayName = "Harbour" } });

        var late = await Assert.ThrowsAsync<RpcException>(async () => await _sites.UpdateSiteAsync(
            new() { Site = new() { Name = site.Name, DisplayName = "Quay", Etag = site.Etag } }));

        Assert.Equal((StatusCode.Aborted, "ETAG_STALE"), (late.StatusCode, late.Reason()));
    }

    public static TheoryData<string, Action<Site>> MalformedSites => new()
    {
        { "site.display_name", site => site.DisplayName = "" },
        { "site.display_name", site => site.DisplayName = new string('x', 81) },
        { "site.time_zone", site => site.TimeZone = "Mars/Olympus" },
        { "site.time_zone", site => site.TimeZone = "" },
        { "site.dew_point_margin_celsius", site => site.DewPointMarginCelsius = double.NaN },
        { "site.reminder_swing", site => site.ReminderSwing = new Duration { Seconds = -1 } },
        { "site.reminder_swing", site => site.ReminderSwing = new Duration { Seconds = long.MaxValue } },
        { "site.quiet_hours_start", site => site.QuietHoursStart = new() { Hours = 24 } },
        { "site.contacts[0].role", site => site.Contacts.Add(new Contact { DisplayName = "Olive" }) },
        { "site.contacts[0].email", site => site.Contacts.Add(Owner(email: "not an address")) },
        { "site.contacts[0].webhook_uri", site => site.Contacts.Add(Owner(webhook: "ftp://alder.example/")) },
    };

    [Theory]
    [MemberData(nameof(MalformedSites), DisableDiscoveryEnumeration = true)]
    public async Task CreateSite_Malformed_NamesTheFieldAndKeepsNothing(string field, Action<Site> spoil)
    {
        var request = Request();
        spoil(request.Site);

        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await _sites.CreateSiteAsync(request));

        Assert.Equal((StatusCode.InvalidArgument, "FIELD_INVALID"), (refusal.StatusCode, refusal.Reason()));
        Assert.Contains(field, refusal.Fields());
        Assert.Empty((await _sites.ListSitesAsync(new() { Parent = "studios/alder" })).Sites);
    }

    [Fact]
    public async Task CreateSensor_OnABenchOfAnotherSite_IsRefused()
    {
        await _sites.CreateSiteAsync(Request());
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await _sites.CreateSensorAsync(new()
        {
            Parent = "studios/alder/sites/north",
            Sensor = new() { DisplayName = "Logger", Bench = "studios/alder/sites/south/benches/shelf" },
        }));

        Assert.Equal(["sensor.bench"], refusal.Fields());
    }

    [Fact]
    public async Task ListBenches_ThreeAtATime_GivesEachOnce()
    {
        await _sites.CreateSiteAsync(Request());
        var made = Enumerable.Range(1, 7).Select(i => $"studios/alder/sites/north/benches/shelf-{i}").ToList();
        foreach (var name in made)
            await _sites.CreateBenchAsync(new() { Parent = "studios/alder/sites/north", BenchId = name.Split('/')[^1], Bench = new() { DisplayName = "Shelf" } });

        var seen = new List<string>();
        var token = "";
        do
        {
            var page = await _sites.ListBenchesAsync(new() { Parent = "studios/alder/sites/north", PageSize = 3, PageToken = token });
            seen.AddRange(page.Benches.Select(bench => bench.Name));
            token = page.NextPageToken;
        } while (token.Length > 0);

        Assert.Equal(made, seen);
    }

    private static CreateSiteRequest Request() => new()
    {
        Parent = "studios/alder",
        SiteId = "north",
        Site = new() { DisplayName = "North", TimeZone = "Europe/Lisbon" },
    };

    private static Contact Owner(string email = "", string webhook = "") =>
        new() { Role = Contact.Types.Role.Owner, DisplayName = "Olive", Email = email, WebhookUri = webhook };
}
