using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.Configuration;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Pourwright.Studio.Access;
using Pourwright.Studio.Audit;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Classes.Moulds;
using Pourwright.Studio.Calendars;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Defects;
using Pourwright.Studio.Exports;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Labels;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Needs;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Plans;
using Pourwright.Studio.Privacy;
using Pourwright.Studio.Advising;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Reports;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Seals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.StudentLinks;
using Pourwright.Studio.Suspects;
using Pourwright.Studio.Trace;

namespace Pourwright.Studio;

/// <summary>What the studio is made of: every gRPC service of the api role, every sweep of the worker role.</summary>
public static class StudioModule
{
    /// <summary>The api role.</summary>
    public static void MapStudioServices(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapGrpcService<AccessService>();
        endpoints.MapGrpcService<AuditService>();
        endpoints.MapGrpcService<StudioService>();
        endpoints.MapGrpcService<SiteService>();
        endpoints.MapGrpcService<ResinService>();
        endpoints.MapGrpcService<OfferingService>();
        endpoints.MapGrpcService<InstructorService>();
        endpoints.MapGrpcService<LotService>();
        endpoints.MapGrpcService<MixService>();
        endpoints.MapGrpcService<PieceService>();
        endpoints.MapGrpcService<ClimateService>();
        endpoints.MapGrpcService<ReminderService>();
        endpoints.MapGrpcService<ForecastService>();
        endpoints.MapGrpcService<CureService>();
        endpoints.MapGrpcService<LearningService>();
        endpoints.MapGrpcService<AdviceService>();
        endpoints.MapGrpcService<ClassService>();
        endpoints.MapGrpcService<StudentService>();
        endpoints.MapGrpcService<MouldService>();
        endpoints.MapGrpcService<CalendarService>();
        endpoints.MapCalendarFeeds();
        endpoints.MapGrpcService<StudentLinkService>();
        endpoints.MapGrpcService<OwnPageService>();
        endpoints.MapGrpcService<NeedService>();
        endpoints.MapGrpcService<PlanService>();
        endpoints.MapGrpcService<DefectService>();
        endpoints.MapGrpcService<TraceService>();
        endpoints.MapGrpcService<SuspectService>();
        endpoints.MapGrpcService<RecallService>();
        endpoints.MapGrpcService<ReportService>();
        endpoints.MapGrpcService<SealService>();
        endpoints.MapGrpcService<ExportService>();
        endpoints.MapGrpcService<PrivacyService>();
        endpoints.MapGrpcService<LabelService>();
        endpoints.MapGrpcService<FailedMessageService>();
    }

    /// <summary>What both roles share. A node's own settings are registered first.</summary>
    public static IServiceCollection AddStudioSettings(this IServiceCollection services)
    {
        services.AddAccess().AddAudit();
        services.TryAddSingleton(new PieceOptions());
        services.TryAddSingleton(new ClimateOptions());
        services.TryAddSingleton(new ClassOptions());
        services.TryAddSingleton(provider => provider.GetRequiredService<IConfiguration>().GetSection("Labels").Get<AddressOptions>() ?? new());
        services.TryAddSingleton<ResinModels>();
        services.AddRecalls();
        services.TryAddSingleton(provider => provider.GetRequiredService<IConfiguration>().GetSection("Students").Get<StudentOptions>() ?? new());
        return services.AddPlans().AddSuspects();
    }

    /// <summary>The worker role: bus, relay, consumers and sweeps. Register after the store.</summary>
    public static IServiceCollection AddStudioWorker(this IServiceCollection services, StudioStore store, BusSettings bus) => services
        .AddStudioBus(bus)
        .AddReminders()
        .AddStudioSweeps(plan => plan
            .Every<TouchedBenches>(TimeSpan.FromSeconds(30))
            .AddClassSweeps()
            .AddReminderSweeps()
            .AddPlanSweeps()
            .AddSuspectSweeps()
            .AddRecallSweeps()
            .Every<ReopenStuckMessages>(TimeSpan.FromMinutes(1))
            .Every<EraseDue>(TimeSpan.FromHours(1))
            .Every<SealDaily>(TimeSpan.FromHours(1))
            .Every<ForgetOldRows>(TimeSpan.FromHours(1)), store)
        .AddSingleton<PieceForecasts>()
        .AddSingleton<Lessons>()
        .AddSingleton<QuietWorker>();
}
