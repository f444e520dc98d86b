using System.Net.Http.Json;
using System.Text.Json;
using Grpc.Core;
using Grpc.Health.V1;
using Grpc.Reflection.V1Alpha;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys;

/// <summary>What a client finds without the protos in hand: reflection, health, JSON.</summary>
public sealed class HostTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;

    public async Task InitializeAsync() => _harness = await StudioHarness.StartAsync();

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Fact]
    public async Task Reflection_ListsEveryServiceOfTheProtocol()
    {
        using var call = new ServerReflection.ServerReflectionClient(_harness.Channel).ServerReflectionInfo();
        await call.RequestStream.WriteAsync(new() { ListServices = "" });
        await call.RequestStream.CompleteAsync();
        await call.ResponseStream.MoveNext();

        var listed = call.ResponseStream.Current.ListServicesResponse.Service.Select(service => service.Name);

        var declared = typeof(PieceService).Assembly.GetTypes()
            .Where(type => type.GetProperty("Descriptor")?.PropertyType == typeof(Google.Protobuf.Reflection.ServiceDescriptor))
            .Select(type => ((Google.Protobuf.Reflection.ServiceDescriptor)type.GetProperty("Descriptor")!.GetValue(null)!).FullName)
            .ToList();
        Assert.Equal(34, declared.Count);
        Assert.Empty(declared.Except(listed));
    }

    [Fact]
    public async Task Health_SaysServing_OnBothPorts()
    {
        var grpc = await new Health.HealthClient(_harness.Channel).CheckAsync(new());
        using var http = _harness.OpenHttp();

        Assert.Equal(HealthCheckResponse.Types.ServingStatus.Serving, grpc.Status);
        Assert.Equal("Healthy", await http.GetStringAsync("/healthz"));
        Assert.Equal("", await http.GetStringAsync("/healthz/live"));
        Assert.Equal("bus: Healthy\nstore: Healthy\n", await http.GetStringAsync("/healthz/ready"));
    }

    [Fact]
    public async Task Json_WritesReadsAndRefuses_LikeGrpc()
    {
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
        using var http = _harness.OpenHttp();

        using var made = await http.PostAsJsonAsync("/v1/studios/alder/mixes?mixId=mix-1", Mix(420_000));
        using var refused = await http.PostAsJsonAsync("/v1/studios/alder/mixes", Mix(500_000));
        var read = await http.GetFromJsonAsync<JsonElement>("/v1/studios/alder/mixes/mix-1");
        var refusal = await refused.Content.ReadFromJsonAsync<JsonElement>();

        Assert.True(made.IsSuccessStatusCode);
        Assert.Equal("1420000", read.GetProperty("remainingMassMg").GetString());
        Assert.Equal(System.Net.HttpStatusCode.BadRequest, refused.StatusCode);
        Assert.Equal("RATIO_OUT_OF_TOLERANCE", refusal.GetProperty("details")[0].GetProperty("reason").GetString());
    }

    [Fact]
    public async Task Json_PrintsATraceAsPdf()
    {
        await SampleStudio.CreateAsync(_harness);
        await new PieceService.PieceServiceClient(_harness.Channel).CreatePieceAsync(
            new() { Parent = SampleStudio.Name, PieceId = "piece-7", Piece = new() { Site = SampleStudio.North, Label = "7" } });
        using var http = _harness.OpenHttp();

        using var page = await http.GetAsync(new Uri("/v1/studios/alder/pieces/piece-7:print?format=FORMAT_PDF", UriKind.Relative));

        Assert.Equal("application/pdf", page.Content.Headers.ContentType?.MediaType);
        Assert.Equal("%PDF"u8.ToArray(), (await page.Content.ReadAsByteArrayAsync())[..4]);
    }

    private static object Mix(long bMassMg) => new
    {
        site = SampleStudio.North,
        resinSystem = SampleStudio.Deep,
        mixer = "Ivo",
        draws = new[] { new { container = SampleStudio.DeepA, massMg = 1_000_000L }, new { container = SampleStudio.DeepB, massMg = bMassMg } },
    };
}
