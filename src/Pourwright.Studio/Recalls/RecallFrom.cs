using System.Globalization;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>Where a list begins: a lot, a container, a mix or a piece by name, or a site with a day by its clock.</summary>
public sealed record RecallFrom(string Name, DateOnly? Day = null)
{
    private static readonly ResourceKind[] Kinds = [ResourceKind.Lot, ResourceKind.Container, ResourceKind.Mix, ResourceKind.Piece, ResourceKind.Site];

    /// <summary>What it is; null for what is no name of any of these.</summary>
    public ResourceKind? Kind => Kinds.FirstOrDefault(kind => kind.Matches(Name));

    public string? Column => Day is { } day ? Days.ToColumn(day) : null;

    public static RecallFrom Of(RecallScope scope) => new(scope.Name, Days.Find(scope.Date));

    public RecallScope ToProto() => new() { Name = Name, Date = Days.ToProto(Column) };

    /// <summary>Adds what is wrong with a scope.</summary>
    public static void Check(FieldChecks checks, RecallScope? scope, string studio)
    {
        var from = Of(scope ?? new());
        var isSite = from.Kind == ResourceKind.Site;
        checks
            .Require(from.Kind is not null && ResourceNames.IsUnder(from.Name, studio), "scope.name",
                $"must be a lot, a container, a mix, a piece or a site of '{studio}' by name.", from.Name)
            .Day("scope.date", scope?.Date, required: isSite)
            .Require(isSite || scope?.Date is null, "scope.date", "belongs to a site only. Leave it out.");
    }

    /// <summary>"lot a-102", "all of north on 7 Mar 2026".</summary>
    public string InWords() => Kind == ResourceKind.Site
        ? $"all of {Id} on {Day?.ToString("d MMM yyyy", CultureInfo.InvariantCulture)}"
        : $"{Kind!.Type.ToLowerInvariant()} {Id}";

    private string Id => ResourceNames.IdOf(Name);
}
