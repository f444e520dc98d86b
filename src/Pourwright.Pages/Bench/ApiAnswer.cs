using Pourwright.Pages.Words;

namespace Pourwright.Pages.Bench;

/// <summary>What the API's JSON answered to a tablet, as far as a person must hear of it.</summary>
/// <param name="Message">Why it was refused; null where it was done.</param>
/// <param name="Details">With the reason and the facts of a refusal.</param>
/// <param name="Cautions">What to know of what was done.</param>
public sealed record ApiAnswer(string? Message, IReadOnlyList<ApiAnswer.Detail>? Details, IReadOnlyList<ApiAnswer.Warning>? Cautions)
{
    /// <summary>A detail of a refusal; only google.rpc.ErrorInfo has a reason.</summary>
    public sealed record Detail(string? Reason, IReadOnlyDictionary<string, string>? Metadata);

    /// <summary>A caution.</summary>
    public sealed record Warning(string? Reason, string? Text, IReadOnlyDictionary<string, string>? Facts);

    private static readonly Dictionary<string, string> None = [];

    /// <summary>It in the words of a reader.</summary>
    public IEnumerable<Said> In(Sayings sayings) => Message is { Length: > 0 } message
        ? [Details?.FirstOrDefault(detail => detail.Reason is not null) is { } info ? sayings.Refusal(info.Reason!, info.Metadata ?? None, message) : sayings.Refusal("", None, message)]
        : (Cautions ?? []).Select(caution => sayings.Say($"Caution.{caution.Reason}", caution.Facts ?? None, caution.Text ?? ""));
}
