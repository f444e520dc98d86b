using System.Globalization;
using Pourwright.Planning.MachineDay;

namespace Pourwright.Planning.Tests.MachineDay;

/// <summary>Published shops (Reference/shop), read as cases.</summary>
/// <remarks>Both forms are whole numbers in a row; lines that begin with # are remarks.</remarks>
internal static class ShopInstance
{
    /// <summary>A shop by its file's name without extension: a job shop, or a flexible one from mk on.</summary>
    public static ShopCase Read(string name) => name.StartsWith("mk", StringComparison.Ordinal)
        ? Flexible(Text($"{name}.fjs"))
        : JobShop(Text($"{name}.jsp"));

    /// <summary>Jobs and machines; then a line a job: machine, counted from 0, and minutes of each operation.</summary>
    public static ShopCase JobShop(string text)
    {
        var numbers = new Queue<int>(Numbers(text.Split('\n')));
        var (jobs, machines) = (numbers.Dequeue(), numbers.Dequeue());
        return Case(machines, [.. Enumerable.Range(0, jobs).Select(_ => Enumerable.Range(0, machines)
            .Select(_ => new ShopOperation(numbers.Dequeue(), numbers.Dequeue())).ToArray())]);
    }

    /// <summary>
    /// Jobs, machines and a mean that nobody needs; then a line a job: number of operations, of each the number of choices, of
    /// each of these the machine, counted from 1, and minutes.
    /// </summary>
    public static ShopCase Flexible(string text)
    {
        var lines = text.Split('\n');
        var (jobs, machines) = (int.Parse(lines[0].Split()[0], CultureInfo.InvariantCulture), int.Parse(lines[0].Split()[1], CultureInfo.InvariantCulture));
        var numbers = new Queue<int>(Numbers(lines[1..]));
        return Case(machines, [.. Enumerable.Range(0, jobs).Select(_ => Several(numbers, () =>
            new ShopOperation(Several(numbers, () => new ShopChoice(numbers.Dequeue() - 1, numbers.Dequeue())))))]);
    }

    private static T[] Several<T>(Queue<int> numbers, Func<T> one) =>
        [.. Enumerable.Range(0, numbers.Dequeue()).Select(_ => one())];

    private static ShopCase Case(int machines, ShopOperation[][] jobs) => new(
        [.. Enumerable.Range(0, machines).Select(m => new ShopStage($"{m}"))],
        [.. jobs.Select((operations, j) => new ShopJob($"{j}", 0, operations))]);

    private static IEnumerable<int> Numbers(IEnumerable<string> lines) => lines
        .Where(line => !line.StartsWith('#'))
        .SelectMany(line => line.Split(default(char[]), StringSplitOptions.RemoveEmptyEntries))
        .Select(word => int.Parse(word, CultureInfo.InvariantCulture));

    private static string Text(string file) =>
        File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Reference", "shop", file));
}
