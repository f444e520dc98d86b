using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Storage;

public sealed class WriteRequestsTests
{
    private const string Id = "5c0f1f0e-6a3e-4d1b-9d0e-0c6f2b7a9e11";

    [Fact]
    public async Task RunAsync_Repeat_GivesTheFirstAnswerAndOneRow()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var first = await RunAsync(studio, Request(Id));
        var second = await RunAsync(studio, Request(Id));
        Assert.Equal(first, second);
        Assert.Single(studio.Notes());
    }

    [Fact]
    public async Task RunAsync_RepeatInUpperCase_IsTheSameRequestId_ButAnotherBody()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        await RunAsync(studio, Request(Id));
        await Assert.ThrowsAsync<Refusal>(() => RunAsync(studio, Request(Id.ToUpperInvariant())));
        Assert.Single(studio.Notes());
    }

    [Fact]
    public async Task RunAsync_SameIdOtherBody_IsRefused()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        await RunAsync(studio, Request(Id));
        var other = Request(Id);
        other.Mix.Mixer = "somebody else";
        var refusal = await Assert.ThrowsAsync<Refusal>(() => RunAsync(studio, other));
        Assert.Equal(Reasons.RequestIdReused, refusal.Reason);
        Assert.Equal(Id, refusal.Facts["request_id"]);
        Assert.Single(studio.Notes());
    }

    [Fact]
    public async Task RunAsync_SameIdOtherMethod_IsAnotherRequest()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        await RunAsync(studio, Request(Id));
        var discard = new DiscardMixRequest { Name = "studios/elm/mixes/m-1", RequestId = Id };
        await new WriteRequests(studio.Writer).RunAsync(discard, t => Answer(t, "discarded"), CancellationToken.None);
        Assert.Equal(2, studio.Notes().Count);
    }

    [Fact]
    public async Task RunAsync_MapEntriesInOtherOrder_AreTheSameBody()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var first = await RunAsync(studio, WithFacts("a", "b"));
        Assert.Equal(first, await RunAsync(studio, WithFacts("b", "a")));

        static RecordMixRequest WithFacts(params string[] keys)
        {
            var caution = new Caution();
            foreach (var key in keys) caution.Facts.Add(key, key);
            var request = Request(Id);
            request.Mix.Cautions.Add(caution);
            return request;
        }
    }

    [Fact]
    public async Task RunAsync_WithoutId_RunsEachTime()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        await RunAsync(studio, Request(""));
        await RunAsync(studio, Request(""));
        Assert.Equal(2, studio.Notes().Count);
    }

    [Theory]
    [InlineData("not-a-uuid")]
    [InlineData("5c0f1f0e6a3e4d1b9d0e0c6f2b7a9e11")]
    [InlineData("00000000-0000-0000-0000-000000000000")]
    public async Task RunAsync_IdIsNoUuid_IsRefused(string id)
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var refusal = await Assert.ThrowsAsync<Refusal>(() => RunAsync(studio, Request(id)));
        Assert.Equal((Reasons.FieldInvalid, "request_id"), (refusal.Reason, Assert.Single(refusal.Fields).Field));
        Assert.Empty(studio.Notes());
    }

    [Fact]
    public async Task RunAsync_Refused_IsNotRemembered()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var requests = new WriteRequests(studio.Writer);
        await Assert.ThrowsAsync<Refusal>(() => requests.RunAsync<RecordMixRequest, Mix>(
            Request(Id), _ => throw Refusal.Precondition(Reasons.LotHeld, "held"), CancellationToken.None));
        await RunAsync(studio, Request(Id));
        Assert.Single(studio.Notes());
    }

    [Fact]
    public async Task RunAsync_ValidateOnly_AnswersAndKeepsNothing()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var dry = Request(Id);
        dry.ValidateOnly = true;
        var answer = await RunAsync(studio, dry);
        Assert.Equal("studios/elm/mixes/1", answer.Name);
        Assert.Empty(studio.Notes());
        Assert.Equal(0, studio.Reads.Read(r => r.Scalar<long>("SELECT count(*) FROM requests_seen")));
        Assert.Equal(0, studio.Reads.Read(r => r.Scalar<long>("SELECT count(*) FROM outbox")));
        await RunAsync(studio, Request(Id));
        Assert.Single(studio.Notes());
    }

    [Fact]
    public async Task RunAsync_FiveTriesAtOnceOfManyKeys_OneEffectAndOneAnswerEach()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var ids = Enumerable.Range(0, 400).Select(_ => Guid.NewGuid().ToString()).ToList();
        var answers = await Task.WhenAll(ids.SelectMany(id => Enumerable.Range(0, 5).Select(async _ =>
            (id, (await Task.Run(() => RunAsync(studio, Request(id)))).Name))));
        Assert.Equal(400, studio.Notes().Count);
        Assert.All(answers.GroupBy(a => a.id), tries => Assert.Single(tries.Select(t => t.Name).Distinct()));
        Assert.Equal(400, answers.Select(a => a.Name).Distinct().Count());
    }

    [Fact]
    public async Task RunAsync_OwnIdIsTaken_IsWrittenUnderAnother_AndNothingStaysOfTheFirst()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var drawn = new Queue<string>(["taken", "free"]);
        await RunDrawingAsync(studio, Request(Id), drawn);
        Assert.Equal(["free"], studio.Notes());
        Assert.Empty(drawn);
    }

    [Fact]
    public async Task RunAsync_ChosenIdIsTaken_IsRefusedAtOnce()
    {
        await using var studio = await TemporaryStudio.StartAsync();
        var request = Request(Id);
        request.MixId = "taken";
        var drawn = new Queue<string>(["taken", "free"]);
        var refusal = await Assert.ThrowsAsync<Refusal>(() => RunDrawingAsync(studio, request, drawn));
        Assert.Equal(Reasons.MixExists, refusal.Reason);
        Assert.Empty(studio.Notes());
        Assert.Single(drawn);
    }

    /// <summary>Writes before it looks, so that what is left of a first try would show.</summary>
    private static Task<Mix> RunDrawingAsync(TemporaryStudio studio, RecordMixRequest request, Queue<string> drawn) =>
        new WriteRequests(studio.Writer).RunAsync(request, t =>
        {
            var id = drawn.Dequeue();
            var answer = Answer(t, id);
            return id == "taken" ? throw ResourceKind.Mix.AlreadyExists($"studios/elm/mixes/{id}") : answer;
        }, CancellationToken.None);

    private static Task<Mix> RunAsync(TemporaryStudio studio, RecordMixRequest request) =>
        new WriteRequests(studio.Writer).RunAsync(request, t => Answer(t, request.Mix.Mixer), CancellationToken.None);

    private static Mix Answer(StudioTransaction transaction, string text)
    {
        TemporaryStudio.Note(transaction, text);
        transaction.Publish(new Noted(text));
        return new Mix { Name = $"studios/elm/mixes/{transaction.Scalar<long>("SELECT max(id) FROM notes")}" };
    }

    private static RecordMixRequest Request(string id) =>
        new() { Parent = "studios/elm", RequestId = id, Mix = new Mix { Mixer = "Ada" } };

    private sealed record Noted(string Text);
}
