using Pourwright.Studio.Classes;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>Gathers what needs are reckoned from; nothing is ever written here.</summary>
internal static class NeedStore
{
    // More containers than any studio has on its shelves.
    private const int ContainersMost = 100_000;

    /// <summary>A class with its offering and resins.</summary>
    /// <exception cref="Refusal">CASTING_CLASS_NOT_FOUND.</exception>
    public static ClassNeedFacts LoadClass(StudioSession session, string name, ResinModels models) =>
        Need(session, ClassStore.GetClass(session, name), models);

    /// <summary>Every class that pours in a window, and every container that is not spent, of a whole studio: sites help each other out.</summary>
    public static StudioNeeds LoadStudio(StudioSession session, string studio, NeedWindow window, ResinModels models)
    {
        SiteStore.GetStudio(session, studio);
        var pours = ClassStore.GetLiveSessions(session, studio, window.StartMs, window.EndMs)
            .Where(each => each.Kind == Session.Types.Kind.Pour && each.StartMs < window.EndMs).ToList();
        var containers = LotStore.ListContainers(session, studio, "", "", showSpent: false, new PageRequest(ContainersMost, null, 0));
        return new(
            [.. pours.Select(pour => (Need(session, ClassStore.GetClass(session, pour.Class), models), pour))],
            [.. containers.Select(container => LotStore.ContentsOf(session, container))],
            ResinStore.ListResinSystems(session, studio, new PageRequest(ContainersMost, null, 0)).ToDictionary(system => system.Name, system => system.OpenedShelfLifeMs),
            SiteStore.ListSites(session, studio, new PageRequest(ContainersMost, null, 0)).ToDictionary(site => site.Name, site => site.Zone));
    }

    /// <summary>The pour of a class; null while it has no day.</summary>
    public static SessionRecord? FindPour(StudioSession session, string castingClass) => Find(session, castingClass, Session.Types.Kind.Pour);

    /// <summary>What people call a studio, a class and a site.</summary>
    public static (string Studio, string Class, SiteRecord Site) Names(StudioSession session, string castingClass, string? site)
    {
        var @class = ClassStore.GetClass(session, castingClass);
        return (SiteStore.GetStudio(session, @class.Studio).DisplayName, @class.DisplayName, SiteStore.GetSite(session, site ?? @class.Sites[0]));
    }

    /// <summary>What a machine day is reckoned from, as it stands at an instant.</summary>
    /// <exception cref="Refusal">CLASS_NOT_SCHEDULED where the class has no machine day.</exception>
    public static (SessionRecord Machine, RunDayFacts Day) LoadMachineDay(StudioSession session, string castingClass, DateTimeOffset now)
    {
        var @class = ClassStore.GetClass(session, castingClass);
        var machine = Find(session, castingClass, Session.Types.Kind.Machine) ?? throw Refusal.Precondition(Reasons.ClassNotScheduled,
            $"{@class.DisplayName} has no machine day yet. Give it its sessions, or publish a plan that does.", ("class", castingClass));
        var offering = OfferingStore.GetOffering(session, @class.Offering);
        return (machine, new()
        {
            StartMs = machine.StartMs,
            EndMs = machine.EndMs,
            Pieces = [.. Pieces(session, castingClass).Select(piece => Run(session, piece, now))],
            Has = RunStations.Of(
                [.. SiteStore.GetStations(session, @class.Studio).Where(station => station.Site == machine.Site)],
                [.. SiteStore.GetOutages(session, @class.Studio, machine.StartMs, machine.EndMs).Where(outage => outage.Site == machine.Site)],
                new() { Planer = offering.PlanerMinutesPerPiece, Saw = offering.SawMinutesPerPiece }),
        });
    }

    private static ClassNeedFacts Need(StudioSession session, ClassRecord @class, ResinModels models)
    {
        var offering = OfferingStore.GetOffering(session, @class.Offering);
        var pour = ResinStore.GetResinSystem(session, offering.ResinSystem);
        var seal = offering.SealCoatResinSystem is { } other ? ResinStore.GetResinSystem(session, other) : pour;
        return new(@class.Name, @class.Pieces, offering, pour, models.Of(pour).Model, seal, models.Of(seal).Model);
    }

    private static SessionRecord? Find(StudioSession session, string castingClass, Session.Types.Kind kind) =>
        ClassStore.GetSessions(session, castingClass).FirstOrDefault(each => each.IsLive && each.Kind == kind);

    private static IEnumerable<PieceRecord> Pieces(StudioSession session, string castingClass) => session.Query<string>(
            "SELECT name FROM pieces WHERE casting_class = @castingClass AND state NOT IN (@handedOver, @scrapped) ORDER BY name",
            new { castingClass, handedOver = (int)Piece.Types.State.HandedOver, scrapped = (int)Piece.Types.State.Scrapped })
        .Select(name => PieceStore.GetPiece(session, name));

    private static RunPiece Run(StudioSession session, PieceRecord piece, DateTimeOffset now)
    {
        var rungs = Readiness.Of(session, piece, now).Rungs;
        return new(
            piece.Label, piece.Maker, piece.State == Piece.Types.State.Demolded,
            rungs.Single(rung => rung.Gate == Gate.Handle), rungs.Single(rung => rung.Gate == Gate.Sand));
    }
}
