using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;
using Pourwright.Evidence.Tests.Epcis;
using Pourwright.Testing;
using Pourwright.V1;
using Correction = Pourwright.V1.Correction;
using Format = Pourwright.V1.ExportRecordsRequest.Types.Format;

namespace Pourwright.Studio.Tests.Exports;

/// <summary>What an export says of what was told wrongly before.</summary>
public sealed class CorrectedExportTests : IAsyncLifetime
{
    private readonly ExportedStudio _studio = new();

    public Task InitializeAsync() => _studio.InitializeAsync();

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task Epcis_AfterCorrections_DeclaresTheEventsOfBeforeWrongAndNamesTheRightOnes()
    {
        var before = Events(await EpcisAsync());
        Assert.DoesNotContain(before, told => told["errorDeclaration"] is not null);

        await CorrectMixAsync();
        await CorrectPourAsync(Correction.Types.Kind.IncorrectData);
        var document = await EpcisAsync();
        var (wrong, right) = (Events(document).Where(told => told["errorDeclaration"] is not null).ToList(), Events(document).Where(told => told["errorDeclaration"] is null).ToList());

        Assert.Empty(GsSchema.Objections(document));
        Assert.Equal(2, wrong.Count);
        Assert.All(wrong, told =>
        {
            Assert.Contains(Id(told), before.Select(Id));
            Assert.DoesNotContain(Id(told), right.Select(Id));
            Assert.Equal("incorrect_data", (string?)told["errorDeclaration"]!["reason"]);
            Assert.Contains((string?)Assert.Single(told["errorDeclaration"]!["correctiveEventIDs"]!.AsArray()), right.Select(Id));
        });
        Assert.Equal(before.Count, right.Count);
    }

    [Fact]
    public async Task Epcis_AfterAPourWasUndone_DeclaresItAndTellsNoOther()
    {
        var before = Events(await EpcisAsync());

        await CorrectPourAsync(Correction.Types.Kind.DidNotOccur);
        var after = Events(await EpcisAsync());

        var declaration = Assert.Single(after, told => told["errorDeclaration"] is not null)["errorDeclaration"]!;
        Assert.Equal(("did_not_occur", null), ((string?)declaration["reason"], declaration["correctiveEventIDs"]));
        Assert.Equal(before.Count, after.Count);
    }

    private async Task CorrectMixAsync()
    {
        var mixes = new V1.MixService.MixServiceClient(_studio.Harness.Channel);
        var mix = (await mixes.ListMixesAsync(new() { Parent = SampleStudio.Name })).Mixes[0];
        await mixes.CorrectMixAsync(new()
        {
            Name = mix.Name, Kind = Correction.Types.Kind.IncorrectData, Person = "Ana", Reason = "read off the wrong line",
            Draws = { new CorrectMixRequest.Types.RightDraw { Container = mix.Draws[0].Container, MassMg = mix.Draws[0].MassMg + 1000 } },
        });
    }

    private async Task CorrectPourAsync(Correction.Types.Kind kind)
    {
        var pieces = new V1.PieceService.PieceServiceClient(_studio.Harness.Channel);
        var pour = (await pieces.ListPoursAsync(new() { Parent = ExportedStudio.One })).Pours[^1];
        await pieces.CorrectPourAsync(new()
        {
            Name = pour.Name, Kind = kind, DepthMm = kind == Correction.Types.Kind.DidNotOccur ? 0 : pour.DepthMm + 1, Person = "Ana", Reason = "measured anew",
        });
    }

    private async Task<JsonObject> EpcisAsync() => JsonNode.Parse(
        (await _studio.ExportAsync(new() { Parent = SampleStudio.Name, Format = Format.Epcis })).Document)!.AsObject();

    private static List<JsonObject> Events(JsonObject document) =>
        [.. document["epcisBody"]!["eventList"]!.AsArray().Select(told => told!.AsObject())];

    private static string Id(JsonObject told) => (string)told["eventID"]!;
}
