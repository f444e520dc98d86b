using System.Text.Json;

namespace Pourwright.Benchmarks;

/// <summary>Outcomes of a long study, one line each in a file, so that a study that was cut off goes on where it was.</summary>
/// <remarks>An outcome depends on its seed alone. A study of other code or other settings begins with another file.</remarks>
internal sealed class StudyNotes(string? path)
{
    private readonly Lock _writing = new();
    private readonly List<Note> _earlier = path is not null && File.Exists(path)
        ? [.. File.ReadLines(path).Where(line => line.EndsWith('}')).Select(line => JsonSerializer.Deserialize<Note>(line)!)]
        : [];

    /// <summary>Outcomes of the seeds 1 to <paramref name="count"/>, in their order: those noted, and the others by <paramref name="one"/>.</summary>
    public T[] Many<T>(string study, int count, Func<int, T> one)
    {
        var noted = _earlier.Where(note => note.Study == study).ToDictionary(note => note.Seed, note => note.Outcome.Deserialize<T>()!);
        return [.. ParallelEnumerable.Range(1, count).AsOrdered().WithMergeOptions(ParallelMergeOptions.FullyBuffered)
            .Select(seed => noted.TryGetValue(seed, out var outcome) ? outcome : Noted(study, seed, one(seed)))];
    }

    private T Noted<T>(string study, int seed, T outcome)
    {
        if (path is null) return outcome;
        lock (_writing) File.AppendAllText(path, JsonSerializer.Serialize(new Note(study, seed, JsonSerializer.SerializeToElement(outcome))) + "\n");
        return outcome;
    }

    private sealed record Note(string Study, int Seed, JsonElement Outcome);
}
