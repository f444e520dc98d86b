namespace Pourwright.Studio.Storage;

/// <summary>Rows that never change once they are there, as the writer has read them: a studio, a resin system.</summary>
/// <remarks>One that is not there is asked for again. What a write reads that is undone may be its own, so then all is forgotten.</remarks>
internal sealed class LastingRows
{
    /// <summary>Far above the resin systems of a chain of studios; a guard against one that makes them without end.</summary>
    private const int Most = 10_000;

    private readonly Dictionary<(Type, string), object> _byName = [];

    public T? Find<T>(string name, Func<T?> read) where T : class
    {
        if (_byName.TryGetValue((typeof(T), name), out var known)) return (T)known;
        if (read() is not { } found) return null;
        if (_byName.Count == Most) _byName.Clear();
        _byName.Add((typeof(T), name), found);
        return found;
    }

    public void Forget() => _byName.Clear();
}
