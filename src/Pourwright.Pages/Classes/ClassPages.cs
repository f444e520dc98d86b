using System.Globalization;
using Grpc.Core;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.Pages.Words;
using Pourwright.V1;

namespace Pourwright.Pages.Classes;

/// <summary>A class: its sessions, its pieces, its sheets; a move is tried before it is said, and taken back afterwards.</summary>
public static class ClassPages
{
    public static void MapClasses(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapGet("/studios/{studio}/classes/{castingClass}", ShowAsync);
        endpoints.MapGet("/studios/{studio}/classes/{castingClass}/door", DoorAsync);
        endpoints.MapPost("/studios/{studio}/classes/{castingClass}/moves", MoveAsync);
        endpoints.MapPost("/studios/{studio}/classes/{castingClass}/closings", CloseAsync);
    }

    /// <param name="session">Which session is to be tried on `date` at `time`; nothing is tried where it stays where it is.</param>
    /// <param name="moved">Which session was just moved away from `was`.</param>
    private static async Task<IResult> ShowAsync(
        string studio, string castingClass, Session.Types.Kind? session, DateOnly? date, TimeOnly? time,
        Session.Types.Kind? moved, DateTime? was, StudioNode node, Visit visit, TimeProvider clock)
    {
        var found = await node.Classes.GetCastingClassAsync(new() { Name = $"studios/{studio}/classes/{castingClass}" });
        var pieces = await PiecesOfAsync(node, found);
        Move? asked = session is { } kind && date is { } day && Moves.Held(found).FirstOrDefault(held => held.Kind == kind) is { } held2
            ? new(kind, day, time ?? Moves.Of(held2).Time) : null;
        return await visit.PageAsync<ClassPage>(
            ("Class", found), ("Now", clock.GetUtcNow()),
            ("OffersHealth", HealthPages.IsOffered((await node.Access.GetIdentityAsync(new())).Role, found, clock.GetUtcNow())), ("Pieces", pieces), ("Asked", asked),
            ("Tried", asked is not null && Moves.Held(found).All(one => Moves.Of(one) != asked) ? await TryAsync(node, found, asked, pieces, visit.Manner) : null),
            ("Undo", moved is { } back && was is { } before ? new Move(back, DateOnly.FromDateTime(before), TimeOnly.FromDateTime(before)) : null));
    }

    private static async Task<IResult> DoorAsync(string studio, string castingClass, StudioNode node, Visit visit)
    {
        var found = await node.Classes.GetCastingClassAsync(new() { Name = $"studios/{studio}/classes/{castingClass}" });
        return await visit.PageAsync<DoorSheet>(("Class", found), ("Pieces", await PiecesOfAsync(node, found)));
    }

    private static async Task<TriedMove> TryAsync(StudioNode node, CastingClass castingClass, Move move, IReadOnlyList<(Piece, PieceReadiness)> pieces, Manner manner)
    {
        try
        {
            var tried = await node.Classes.ScheduleSessionsAsync(
                new() { Name = castingClass.Name, Sessions = { Moves.With(castingClass, move) }, Reason = "Tried only.", ValidateOnly = true });
            var machine = Moves.Held(tried).FirstOrDefault(session => session.Kind == Session.Types.Kind.Machine);
            return new(move, null, [.. tried.Cautions.Where(caution => castingClass.Cautions.All(old => old.Text != caution.Text))],
                machine is null ? [] : Moves.LateFor(machine.StartTime.ToDateTimeOffset(), pieces), castingClass.EnrolledCount);
        }
        catch (RpcException refusal) when (refusal.StatusCode is StatusCode.FailedPrecondition or StatusCode.InvalidArgument or StatusCode.NotFound)
        {
            return new(move, new Sayings(manner, Moves.ZoneOf(castingClass)).Of(refusal), [], [], 0);
        }
    }

    private static async Task<IResult> MoveAsync(string studio, string castingClass, HttpRequest http, StudioNode node)
    {
        var form = await http.ReadFormAsync();
        var found = await node.Classes.GetCastingClassAsync(new() { Name = $"studios/{studio}/classes/{castingClass}" });
        var move = new Move(Enum.Parse<Session.Types.Kind>(form["session"].ToString()),
            DateOnly.Parse(form["date"].ToString(), CultureInfo.InvariantCulture), TimeOnly.Parse(form["time"].ToString(), CultureInfo.InvariantCulture));
        var was = Moves.Of(Moves.Held(found).First(session => session.Kind == move.Kind));
        await node.Classes.ScheduleSessionsAsync(new()
        {
            Name = found.Name, Sessions = { Moves.With(found, move) }, Reason = form["reason"].ToString(), RequestId = form["request"].ToString(),
        });
        var before = was.Date.ToDateTime(was.Time).ToString("s", CultureInfo.InvariantCulture);
        return TypedResults.Redirect(form["undo"] == "yes" ? $"/{found.Name}" : $"/{found.Name}?moved={move.Kind}&was={before}");
    }

    private static async Task<IResult> CloseAsync(string studio, string castingClass, HttpRequest http, StudioNode node, Visit visit)
    {
        var form = await http.ReadFormAsync();
        await node.Classes.CloseSessionAsync(new()
        {
            Name = $"studios/{studio}/classes/{castingClass}/sessions/{form["session"]}", Closer = visit.SignedBy(form),
            RagsSafe = form["rags"] == "yes", RequestId = form["request"].ToString(),
        });
        return TypedResults.Redirect($"/studios/{studio}/classes/{castingClass}#close");
    }

    private static async Task<IReadOnlyList<(Piece Piece, PieceReadiness Readiness)>> PiecesOfAsync(StudioNode node, CastingClass castingClass) =>
        await PiecesInHouse.LoadAsync(node, Names.StudioOf(castingClass.Name), site: "", castingClass.Name, default);
}
