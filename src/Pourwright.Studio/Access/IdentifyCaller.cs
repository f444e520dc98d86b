using Microsoft.AspNetCore.Http;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Access;

/// <summary>Looks at the key or the token of every request, and lets it pass in any case: what a call asks for is decided where it is known.</summary>
public sealed class IdentifyCaller(RequestDelegate next, KeyRing keys, Tokens tokens)
{
    /// <summary>How a browser shows a key; the pages set it. They also refuse what another site makes a browser send.</summary>
    private const string Cookie = "pourwright_key";

    private const string Scheme = "Bearer ";

    public async Task InvokeAsync(HttpContext context)
    {
        if (SecretOf(context.Request) is { } secret) await IdentifyAsync(context, secret);
        await next(context);
    }

    /// <summary>That the store is away is said where the call is decided on: here nobody could tell its client in words it knows.</summary>
    private async Task IdentifyAsync(HttpContext context, string secret)
    {
        try
        {
            if ((secret.Contains('.', StringComparison.Ordinal) ? await tokens.FindAsync(secret) : keys.Find(secret)) is { } key) context.Features.Set(key);
        }
        catch (Exception e) when (StoreErrors.ToRefusal(e) is { } refusal)
        {
            context.Features.Set(refusal);
        }
    }

    private static string? SecretOf(HttpRequest request)
    {
        var header = request.Headers.Authorization.ToString();
        return header.Length == 0 ? request.Cookies[Cookie]
            : header.StartsWith(Scheme, StringComparison.OrdinalIgnoreCase) ? header[Scheme.Length..].Trim()
            : null;
    }
}
