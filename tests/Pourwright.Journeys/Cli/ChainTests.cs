using Microsoft.Extensions.DependencyInjection;
using Pourwright.Host.Demo;
using Pourwright.Studio.Plans;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys.Cli;

/// <summary>The invented chain of the demo, typed as it says: a season planned, a cold snap, an instructor who falls ill.</summary>
public sealed class ChainTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync(services => services.AddSingleton(new PlanOptions { Coolings = 1, ReplanStageSeconds = 1 }));
        _shell = new(_node.Channel.Target, _node.Clock);
        var chain = new InventedChain(_node.Channel, ChainOutline.Driftline);
        await chain.FoundAsync();
        await chain.AskAsync(first: 1, count: 48, new(2027, 1, 4), weeks: 6);
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Season_PlannedInOneCommand_SurvivesColdAndIllnessInTheNextTwo_AndSaysWhyEachClassMoved()
    {
        var season = await _shell.DoAsync("plan season --from 2027-01-04 --weeks 8 --publish --by Ottilie");
        Assert.Contains("is published; people are told.", season, StringComparison.Ordinal);
        var planned = await SessionsAsync();

        var cold = await _shell.DoAsync("plan replan --cold kiln --colder 6C --from 2027-01-11 --to 2027-01-31 --choose 1 --by Ottilie");
        var afterCold = await SessionsAsync();
        await MovedClassesSayWhyAsync(planned, afterCold, cold, "the rooms at kiln are 6 °C colder");

        var ill = await _shell.DoAsync("plan replan --away anouk --from 2027-01-18 --to 2027-01-31 --choose 1 --by Ottilie");
        var afterIllness = await SessionsAsync();
        await MovedClassesSayWhyAsync(afterCold, afterIllness, ill, "anouk is away");

        Assert.Contains(planned.Values, session => TeachesWhileIll(session));
        Assert.DoesNotContain(afterIllness.Values, session => TeachesWhileIll(session));
    }

    private static bool TeachesWhileIll(Session session) => session.State != Session.Types.State.Cancelled
        && session.Instructor.EndsWith("/anouk", StringComparison.Ordinal)
        && session.StartTime.ToDateTimeOffset() is var start && start >= new DateTimeOffset(2027, 1, 18, 0, 0, 0, TimeSpan.Zero) && start < new DateTimeOffset(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    // Every class with a session elsewhere, at another time, with another person or given up has its line; at least one does.
    private async Task MovedClassesSayWhyAsync(Dictionary<string, Session> before, Dictionary<string, Session> after, string told, string because)
    {
        string[] moved = [.. after.Where(session => IsOther(before[session.Key], session.Value)).Select(session => session.Key.Split('/')[3]).Distinct()];
        Assert.NotEmpty(moved);
        Assert.Contains(because, told, StringComparison.Ordinal);
        var plan = await new V1.PlanService.PlanServiceClient(_node.Channel).GetPlanAsync(new() { Name = $"{ChainOutline.Driftline.Name}/plans/published" });
        var lines = plan.Text.Split('\n');
        Assert.All(moved, id => Assert.Contains(lines, line => line.StartsWith($"  {id}", StringComparison.Ordinal) && line.Contains(because, StringComparison.Ordinal)));
    }

    private static bool IsOther(Session was, Session now) =>
        (was.Site, was.StartTime, was.Instructor, was.State == Session.Types.State.Cancelled) != (now.Site, now.StartTime, now.Instructor, now.State == Session.Types.State.Cancelled);

    private async Task<Dictionary<string, Session>> SessionsAsync()
    {
        var classes = new ClassService.ClassServiceClient(_node.Channel);
        var sessions = new Dictionary<string, Session>();
        for (var token = ""; ;)
        {
            var page = await classes.ListSessionsAsync(new() { Parent = ChainOutline.Driftline.Name, PageSize = 500, PageToken = token });
            foreach (var session in page.Sessions) sessions.Add(session.Name, session);
            if ((token = page.NextPageToken).Length == 0) return sessions;
        }
    }
}
