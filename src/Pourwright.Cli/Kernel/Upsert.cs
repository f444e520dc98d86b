using Grpc.Core;

namespace Pourwright.Cli.Kernel;

/// <summary>What is set up by saying it: changed where it is there, else made.</summary>
public static class Upsert
{
    /// <summary>Changes it; makes it where the server knows none.</summary>
    public static async Task<T> RunAsync<T>(Func<AsyncUnaryCall<T>> change, Func<AsyncUnaryCall<T>> make)
    {
        try
        {
            return await change();
        }
        catch (RpcException refusal) when (refusal.StatusCode == StatusCode.NotFound)
        {
            return await make();
        }
    }
}
