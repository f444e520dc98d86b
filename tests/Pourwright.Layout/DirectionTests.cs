using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Pourwright.Layout;

/// <summary>Who may know whom, read off the project files and the sources.</summary>
public sealed partial class DirectionTests
{
    /// <summary>Slices of the studio, lowest first: each may use those before it, none after it.</summary>
    private static readonly string[] Slices =
        ["Access", "Audit", "Sites", "Resins", "Offerings", "Instructors", "Lots", "Mixes", "Pieces", "Climate", "Reminders", "Forecasts", "Advising", "Classes", "Plans", "Needs", "Calendars", "StudentLinks", "Defects", "Trace", "Suspects", "Recalls", "Reports", "Seals", "Exports", "Privacy", "Labels"];

    [Theory]
    [InlineData("Pourwright.Cure")]
    [InlineData("Pourwright.Evidence", "MathNet.Numerics", "NodaTime")]
    [InlineData("Pourwright.Planning", "Google.OrTools", "MathNet.Numerics")]
    [InlineData("Pourwright.Protocol", "Google.Api.CommonProtos", "Google.Protobuf", "Grpc.Net.Client", "Grpc.Tools")]
    [InlineData("Pourwright.Studio", "Pourwright.Cure", "Pourwright.Evidence", "Pourwright.Planning", "Pourwright.Protocol")]
    [InlineData("Pourwright.Pages", "Pourwright.Protocol")]
    [InlineData("Pourwright.Host", "Pourwright.Studio", "Pourwright.Pages")]
    [InlineData("Pourwright.Cli", "Pourwright.Protocol")]
    public void Project_KnowsOnly(string project, params string[] allowed)
    {
        var references = References(project, "ProjectReference").Select(path => Path.GetFileNameWithoutExtension(path));
        // A pure project and the protocol answer for their packages as well; the analyzer below ships nothing.
        if (project is "Pourwright.Cure" or "Pourwright.Evidence" or "Pourwright.Planning" or "Pourwright.Protocol")
            references = references.Concat(References(project, "PackageReference").Where(package => package != "Microsoft.CodeAnalysis.BannedApiAnalyzers"));
        Assert.Empty(references.Except(allowed));
    }

    [Fact]
    public void Nothing_KnowsTheHost() => Assert.DoesNotContain(
        Repository.Sources("src", "*.cs").Where(path => !path.StartsWith("src/Pourwright.Host/", StringComparison.Ordinal)),
        path => File.ReadAllText(Repository.Path(path)).Contains("Pourwright.Host", StringComparison.Ordinal));

    [Fact]
    public void Slices_CallDownOnly() => Assert.Empty(Slices.SelectMany((slice, rank) =>
        Repository.Sources($"src/Pourwright.Studio/{slice}", "*.cs").SelectMany(path => UsedSlices(path)
            .Where(used => Array.IndexOf(Slices, used) > rank)
            .Select(used => $"{path} uses {used}"))));

    [Fact]
    public void EverySliceFolder_HasItsRank() => Assert.Equal(
        Slices.Order(),
        Directory.GetDirectories(Repository.Path("src/Pourwright.Studio")).Select(folder => Path.GetFileName(folder)!)
            .Except(["Storage", "Messaging", "Refusals", "Names", "Paper", "Telemetry", "bin", "obj"]).Order());

    /// <summary>A rule file is one that holds neither a service, a store, a sweep, a consumer, a sender nor a registration.</summary>
    [Fact]
    public void RuleFiles_TouchNeitherSqlNorGrpcNorBusNorClock() => Assert.Empty(Slices
        .SelectMany(slice => Repository.Sources($"src/Pourwright.Studio/{slice}", "*.cs"))
        .Select(path => (path, text: File.ReadAllText(Repository.Path(path))))
        .Where(file => IsRule(file.text) && ForbiddenInRules().IsMatch(file.text))
        .Select(file => $"{file.path}: {ForbiddenInRules().Match(file.text).Value}"));

    [Fact]
    public void RuleFiles_Exist() => Assert.True(
        Slices.SelectMany(slice => Repository.Sources($"src/Pourwright.Studio/{slice}", "*.cs")).Count(path => IsRule(File.ReadAllText(Repository.Path(path)))) >= 15);

    [Fact]
    public void Clock_IsAskedThroughTimeProviderOnly() => Assert.DoesNotContain(
        Repository.Sources("src", "*.cs"), path => WallClock().IsMatch(File.ReadAllText(Repository.Path(path))));

    [Fact]
    public void Tests_NeverSleep() => Assert.DoesNotContain(
        Repository.Sources("tests", "*.cs"), path => Sleep().IsMatch(File.ReadAllText(Repository.Path(path))));

    private static bool IsRule(string source) => !NotARule().IsMatch(source);

    private static IEnumerable<string> UsedSlices(string path) =>
        UsedSlice().Matches(File.ReadAllText(Repository.Path(path))).Select(match => match.Groups[1].Value).Distinct();

    private static IEnumerable<string> References(string project, string kind) =>
        XDocument.Load(Repository.Path($"src/{project}/{project}.csproj")).Descendants(kind).Select(item => item.Attribute("Include")!.Value);

    [GeneratedRegex(@"Pourwright\.Studio\.([A-Z]\w+)")]
    private static partial Regex UsedSlice();

    // What reads, writes, listens or sends says so by one of these types; the rest of a slice decides.
    [GeneratedRegex(@"\b(StudioSession|StudioTransaction|StudioReads|StudioWriter|ServiceBase|InboxConsumer|ISweep|IServiceCollection|HttpClient|SmtpClient|TimeProvider|BackgroundService)\b")]
    private static partial Regex NotARule();

    [GeneratedRegex(@"\b(SELECT|INSERT INTO|DELETE FROM)\b|ServerCallContext|MassTransit|\bDapper\b|Random\.Shared|RandomNumberGenerator|Guid\.New|Guid\.CreateVersion|\bFile\.|GetUtcNow")]
    private static partial Regex ForbiddenInRules();

    [GeneratedRegex(@"DateTime(Offset)?\.(Utc)?Now|Stopwatch\.StartNew|Environment\.TickCount")]
    private static partial Regex WallClock();

    [GeneratedRegex(@"Thread\.Sleep\(|Task\.Delay\(")]
    private static partial Regex Sleep();
}
