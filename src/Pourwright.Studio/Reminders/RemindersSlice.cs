using Microsoft.Extensions.Configuration;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders.Channels;

namespace Pourwright.Studio.Reminders;

/// <summary>Registers reminders.</summary>
public static class RemindersSlice
{
    /// <summary>Settings, of the section `Reminders`, and channels. The consumer is found with the others, the sweeps join the plan.</summary>
    public static IServiceCollection AddReminders(this IServiceCollection services) => services
        .AddSingleton(provider => provider.GetRequiredService<IConfiguration>().GetSection("Reminders").Get<ReminderOptions>() ?? new())
        .AddSingleton<IReminderChannel, EmailChannel>()
        .AddSingleton<IReminderChannel, WebhookChannel>();

    /// <summary>How often each looks: where nothing is due a look costs microseconds. Common practice, no source.</summary>
    public static SweepPlan AddReminderSweeps(this SweepPlan plan) => plan
        .Every<SilentSensors>(TimeSpan.FromMinutes(1))
        .Every<ClimateWarnings>(TimeSpan.FromMinutes(1))
        .Every<LotsNearExpiry>(TimeSpan.FromHours(1))
        .Every<DueReminders>(TimeSpan.FromSeconds(5))
        .Every<EscalateReminders>(TimeSpan.FromSeconds(30))
        .Every<DeliverReminders>(TimeSpan.FromSeconds(5));
}
