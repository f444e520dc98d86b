using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Pages.Bench;
using Pourwright.Pages.Classes;
using Pourwright.Pages.Defects;
using Pourwright.Pages.Lots;
using Pourwright.Pages.Pieces;
using Pourwright.Pages.Season;
using Pourwright.Pages.Serving;
using Pourwright.Pages.Shell;
using Pourwright.Pages.SignIn;
using Pourwright.Pages.Student;
using Pourwright.Pages.Today;
using Pourwright.Pages.Wall;

namespace Pourwright.Pages;

/// <summary>What the pages are made of: start reading here.</summary>
public static class PagesModule
{
    /// <param name="node">The address of the node's gRPC port, asked for once it listens.</param>
    /// <param name="handler">Makes the connections to it.</param>
    public static IServiceCollection AddPages(this IServiceCollection services, Func<IServiceProvider, Uri> node, Func<IServiceProvider, HttpMessageHandler> handler) => services
        .AddHttpContextAccessor()
        .AddSingleton(provider => new NodeAddress(() => node(provider), () => handler(provider)))
        .AddSingleton<NodeChannel>()
        .AddSingleton<PageRenderer>()
        .AddSingleton<WallWatches>()
        .AddScoped<Visit>()
        .AddScoped(provider => ShownKey.Forward(
            provider.GetRequiredService<NodeChannel>().Channel, provider.GetRequiredService<IHttpContextAccessor>().HttpContext));

    /// <summary>Goes before every endpoint of the node, since it guards them all from pages of other sites.</summary>
    public static void UsePages(this WebApplication app)
    {
        app.UseMiddleware<OwnOrigin>();
        app.UseMiddleware<ScannedLabels>();
        app.UseMiddleware<RefusedPages>();
    }

    public static void MapPages(this WebApplication app)
    {
        app.MapAssets();
        app.MapSignIn();
        app.MapShell();
        app.MapToday();
        app.MapBench();
        app.MapWall();
        app.MapPieces();
        app.MapLots();
        app.MapSeason();
        app.MapClasses();
        app.MapHealth();
        app.MapDefects();
        app.MapStudent();
    }
}
