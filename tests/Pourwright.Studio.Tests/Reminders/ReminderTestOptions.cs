using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Pourwright.Studio.Reminders;

namespace Pourwright.Studio.Tests.Reminders;

internal static class ReminderTestOptions
{
    public static void Replace(IServiceCollection services, ReminderOptions options) =>
        services.Replace(ServiceDescriptor.Singleton(options));
}
