using Pourwright.Studio.Lots;
using Pourwright.Studio.Needs;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Needs;

/// <summary>Classes and cans of the invented studio Alder, at two sites; day 0 is 1 March 2026, 00:00 UTC.</summary>
internal static class NeedStock
{
    public const string Alder = "studios/alder", North = $"{Alder}/sites/north", South = $"{Alder}/sites/south";
    public const string Deep = $"{Alder}/resinSystems/deep";
    public const long DayMs = 86_400_000;

    /// <summary>2026-03-01T00:00Z.</summary>
    public const long Day0Ms = 1_772_323_200_000;

    public static long Day(double day) => Day0Ms + (long)(day * DayMs);

    public static ClassNeed Class(string id, double day, long aMg, long bMg, string site = North) =>
        new($"{Alder}/classes/{id}", site, Deep, Day(day), Day(day), new(aMg, bMg));

    public static ContainerContents Can(
        string id, Part part, long massMg, double expireDay, string? lot = null, string site = North, bool isSealed = false, bool held = false, bool lotHeld = false) => new(
        new()
        {
            Name = $"{Alder}/containers/{id}",
            Studio = Alder,
            Site = site,
            Part = part,
            ResinSystem = Deep,
            State = isSealed ? Container.Types.State.Sealed : Container.Types.State.Open,
            Held = held,
            ReceivedMassMg = massMg,
            RemainingMassMg = massMg,
            ExpireMs = Day(expireDay),
        },
        [
            new()
            {
                Name = $"{Alder}/lots/{lot ?? $"of-{id}"}",
                Studio = Alder,
                Part = part,
                ResinSystem = Deep,
                Supplier = "",
                SupplierLotCode = "",
                Content = "",
                ReceiveMs = Day0Ms,
                ReceivedMassMg = massMg,
                Held = lotHeld,
            },
        ]);

    public static StockFacts Facts(IReadOnlyList<ClassNeed> classes, params IReadOnlyList<ContainerContents> containers) => new()
    {
        Classes = classes,
        Containers = containers,
        OpenedShelfLifeMs = new Dictionary<string, long?> { [Deep] = 30 * DayMs },
        Window = new(Day0Ms, Day(84), 0),
    };
}
