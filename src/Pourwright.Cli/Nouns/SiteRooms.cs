using System.ComponentModel;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright site room</c> and <c>station</c>: said once they are made, said again they are changed.</summary>
internal static class SiteRooms
{
    public static void Register(Noun noun)
    {
        noun.Verb<RoomSettings>("room", "Sets up a room, or shows it where nothing is said", RoomAsync, "site", "room", "north/hall", "--seats", "8");
        noun.Verb<StudioSettings>("rooms", "Lists the rooms of a site", RoomsAsync);
        noun.Verb<StationSettings>("station", "Sets up a machine or a place of work, or shows it where nothing is said", StationAsync,
            "site", "station", "north/planer", "--kind", "planer", "--a-day", "6h");
        noun.Verb<StudioSettings>("stations", "Lists the stations of a site", StationsAsync);
    }

    private static IRenderable Card(Room room) => Sheets.Card($"Room {ResourceNames.Brief(room.Name)}",
        ("Name", room.DisplayName), ("Seats", $"{room.SeatCount}"));

    private static IRenderable Card(Station station) => Sheets.Card($"Station {ResourceNames.Brief(station.Name)}",
        ("Name", station.DisplayName), ("For", Words.Of(station.Kind)), ("Places", $"{station.PlaceCount}"), ("A day", Daily(station)));

    private static string Daily(Station station) => new Span(station.DailyDuration.ToTimeSpan()).ToString();

    private static async Task RoomAsync(Desk desk, RoomSettings s)
    {
        var name = desk.Names.Room(s.Id);
        if (s.Remove)
            await GoneAsync(desk, await desk.Server.Sites.DeleteRoomAsync(new() { Name = name, RequestId = s.RequestId }, desk.Call), $"Room {ResourceNames.Brief(name)}");
        else
            await desk.PrintAsync(s.SaysNothing ? await desk.Server.Sites.GetRoomAsync(new() { Name = name }, desk.Call) : await SetAsync(desk, name, s), (room, _) => Card(room));
    }

    private static Task<Room> SetAsync(Desk desk, string name, RoomSettings s)
    {
        var room = new Room { Name = name, DisplayName = s.DisplayName ?? "", SeatCount = s.Seats ?? 0 };
        return Upsert.RunAsync(
            () => desk.Server.Sites.UpdateRoomAsync(new() { Room = room, RequestId = s.RequestId }, desk.Call),
            () => desk.Server.Sites.CreateRoomAsync(new()
            {
                Parent = ResourceNames.SiteOf(name), RoomId = IdOf(name), Room = new(room) { DisplayName = s.DisplayName ?? IdOf(name) }, RequestId = s.RequestId,
            }, desk.Call));
    }

    private static async Task RoomsAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListRoomsRequest { Parent = await desk.SiteAsync() }, desk.Server.Sites.ListRoomsAsync, desk.Stop),
        (all, _) => Sheets.Rows("No room yet.", ["Room", "Name", "Seats"],
            all.Rooms.Select(room => new Cell[] { ResourceNames.Brief(room.Name), room.DisplayName, $"{room.SeatCount}" })));

    private static async Task StationAsync(Desk desk, StationSettings s)
    {
        var name = desk.Names.Station(s.Id);
        if (s.Remove)
            await GoneAsync(desk, await desk.Server.Sites.DeleteStationAsync(new() { Name = name, RequestId = s.RequestId }, desk.Call), $"Station {ResourceNames.Brief(name)}");
        else
            await desk.PrintAsync(s.SaysNothing ? await desk.Server.Sites.GetStationAsync(new() { Name = name }, desk.Call) : await SetAsync(desk, name, s), (station, _) => Card(station));
    }

    private static Task<Station> SetAsync(Desk desk, string name, StationSettings s)
    {
        var station = new Station
        {
            Name = name,
            DisplayName = s.DisplayName ?? "",
            Kind = s.Kind,
            DailyDuration = s.ADay is { } daily ? Duration.FromTimeSpan(daily.Length) : null,
        };
        if (s.Places is { } places)
            station.PlaceCount = places;
        return Upsert.RunAsync(
            () => desk.Server.Sites.UpdateStationAsync(new() { Station = station, RequestId = s.RequestId }, desk.Call),
            () => desk.Server.Sites.CreateStationAsync(new()
            {
                Parent = ResourceNames.SiteOf(name), StationId = IdOf(name), Station = new(station) { DisplayName = s.DisplayName ?? IdOf(name) }, RequestId = s.RequestId,
            }, desk.Call));
    }

    private static async Task StationsAsync(Desk desk, StudioSettings s) => await desk.PrintAsync(
        await Server.ListAsync(new ListStationsRequest { Parent = await desk.SiteAsync() }, desk.Server.Sites.ListStationsAsync, desk.Stop),
        (all, _) => Sheets.Rows("No station yet.", ["Station", "Name", "For", "Places", "A day"], all.Stations.Select(station => new Cell[]
        {
            ResourceNames.Brief(station.Name), station.DisplayName, Words.Of(station.Kind), $"{station.PlaceCount}", Daily(station),
        })));

    /// <summary>Says that something is there no more.</summary>
    public static Task GoneAsync(Desk desk, Empty answer, string what) => desk.PrintAsync(answer, (_, _) => new Cell($"{what} is gone.").Render());

    private static string IdOf(string name) => name.Split('/')[^1];

    private abstract class Settings : WriteSettings
    {
        [CommandOption("-n|--name <NAME>")]
        [Description("What people call it; else its id")]
        public string? DisplayName { get; init; }

        [CommandOption("--remove")]
        [Description("Takes it off the site")]
        public bool Remove { get; init; }
    }

    private sealed class RoomSettings : Settings
    {
        [CommandArgument(0, "<room>")]
        [Description("SITE/ROOM, for example north/hall")]
        public required string Id { get; init; }

        [CommandOption("--seats <NUMBER>")]
        [Description("Students it seats")]
        public int? Seats { get; init; }

        public bool SaysNothing => DisplayName is null && Seats is null;
    }

    private sealed class StationSettings : Settings
    {
        [CommandArgument(0, "<station>")]
        [Description("SITE/STATION, for example north/planer")]
        public required string Id { get; init; }

        [CommandOption("-k|--kind <KIND>")]
        [Description("planer, saw, sanding, demolding or finishing")]
        [TypeConverter(typeof(WordConverter<Station.Types.Kind>))]
        public Station.Types.Kind Kind { get; init; }

        [CommandOption("--places <NUMBER>")]
        [Description("How many may work there at a time; 1 unless told")]
        public int? Places { get; init; }

        [CommandOption("--a-day <SPAN>")]
        [Description("How long it may run on a day; 6h unless told")]
        public Span? ADay { get; init; }

        public bool SaysNothing => DisplayName is null && Kind == default && Places is null && ADay is null;
    }
}
