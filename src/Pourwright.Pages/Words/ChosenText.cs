using System.Text;

namespace Pourwright.Pages.Words;

/// <summary>A text that names facts in braces, and says some of its parts under conditions only.</summary>
/// <remarks>
/// `{safe_time}` is a fact. `[until_time? until {until_time}]` is said where there is such a fact, `[!until_time?for good]` where there
/// is none, `[gate=demold,safe_time?...]` where the one is `demold` and the other is there. Parts may stand in parts.
/// </remarks>
public sealed class ChosenText
{
    private readonly string _text;
    private readonly IReadOnlyDictionary<string, string> _facts;
    private readonly Func<string, string, string> _say;
    private int _at;
    private bool _lacks;

    private ChosenText(string text, IReadOnlyDictionary<string, string> facts, Func<string, string, string> say) => (_text, _facts, _say) = (text, facts, say);

    /// <summary>The text with its facts; null where it names one that is not there.</summary>
    /// <param name="say">A fact's name and value, as people read it.</param>
    public static string? Fill(string text, IReadOnlyDictionary<string, string> facts, Func<string, string, string> say)
    {
        var chosen = new ChosenText(text, facts, say);
        var said = chosen.Part(isSaid: true);
        return chosen._lacks ? null : said;
    }

    private string Part(bool isSaid)
    {
        var said = new StringBuilder();
        while (_at < _text.Length && _text[_at] != ']')
        {
            var next = _text[_at++];
            if (next == '{') said.Append(Fact(UpTo('}'), isSaid));
            else if (next == '[') said.Append(Choice(isSaid));
            else said.Append(next);
        }
        return said.ToString();
    }

    private string Choice(bool isSaid)
    {
        var holds = UpTo('?').Split(',').All(Holds);
        var part = Part(isSaid && holds);
        _at++;
        return holds ? part : "";
    }

    private bool Holds(string condition) => condition.Split('=') switch
    {
        _ when condition.StartsWith('!') => !Holds(condition[1..]),
        [var name, var value] => Find(name) == value,
        _ => Find(condition) is not null,
    };

    private string Fact(string name, bool isSaid)
    {
        if (Find(name) is { } value) return _say(name, value);
        _lacks |= isSaid;
        return "";
    }

    private string? Find(string name) => _facts.TryGetValue(name, out var value) && value.Length > 0 ? value : null;

    private string UpTo(char end)
    {
        var from = _at;
        _at = _text.IndexOf(end, from) + 1;
        return _text[from..(_at - 1)];
    }
}
