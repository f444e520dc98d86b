using Microsoft.Extensions.Configuration;
using Microsoft.Extensions.DependencyInjection;

namespace Pourwright.Studio.Access;

/// <summary>What access is made of.</summary>
public static class AccessSlice
{
    public static IServiceCollection AddAccess(this IServiceCollection services) => services
        .AddSingleton(new PolicyTable(Policies.All))
        .AddSingleton(new ThingSites(ThingSites.Questions))
        .AddSingleton<PageSeal>()
        .AddSingleton<KeyRing>()
        .AddSingleton(provider => provider.GetRequiredService<IConfiguration>().GetSection("Access:Tokens").Get<TokenOptions>() ?? new())
        .AddSingleton<Tokens>()
        .AddSingleton<OwnerKeys>()
        .AddSingleton<StreamKeys>()
        .AddSingleton<AccessInterceptor>();
}
