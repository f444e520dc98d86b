using Pourwright.Studio.Lots;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Lots;

/// <summary>Rows to decide on, without a store.</summary>
internal static class LotRows
{
    public const string Studio = "studios/alder";
    public const string Deep = "studios/alder/resinSystems/deep";

    public static readonly SiteRecord North = Site("north", "Europe/Lisbon");

    public static SiteRecord Site(string id, string timeZone) => new()
    {
        Name = $"{Studio}/sites/{id}",
        Studio = Studio,
        DisplayName = id,
        TimeZone = timeZone,
        QuietStartMinute = 0,
        QuietEndMinute = 0,
        ReminderSwingMs = 0,
        DewPointMarginCelsius = 3,
        Etag = "1",
    };

    public static LotRecord Lot(string id, Part part, string? expiryDate = null) => new()
    {
        Name = $"{Studio}/lots/{id}",
        Studio = Studio,
        Part = part,
        ResinSystem = part == Part.Pigment ? null : Deep,
        Supplier = "",
        SupplierLotCode = id,
        Content = "",
        ExpiryDate = expiryDate,
        ReceiveMs = 0,
        ReceivedMassMg = 1_000_000,
    };

    /// <summary>An open container with 1 kg of one lot of its own.</summary>
    public static ContainerContents Container(string id, Part part) => new(
        new ContainerRecord
        {
            Name = $"{Studio}/containers/{id}",
            Studio = Studio,
            Site = North.Name,
            Part = part,
            ResinSystem = part == Part.Pigment ? null : Deep,
            State = V1.Container.Types.State.Open,
            ReceivedMassMg = 1_000_000,
            RemainingMassMg = 1_000_000,
            OpenMs = 0,
        },
        [Lot($"{id}-lot", part)]);

    public static ContainerContents With(this ContainerContents contents, Func<ContainerRecord, ContainerRecord> change) =>
        contents with { Container = change(contents.Container) };
}
