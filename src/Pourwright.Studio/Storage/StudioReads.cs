using System.Collections.Concurrent;

namespace Pourwright.Studio.Storage;

/// <summary>One consistent view: all its queries see the same commit.</summary>
public sealed class StudioReading : StudioSession, IDisposable
{
    private readonly StudioReads _home;

    internal StudioReading(IStudioConnection connection, StudioReads home) : base(connection) => _home = home;

    /// <summary>Ends the view.</summary>
    public void Dispose() => _home.TakeBack(Connection);
}

/// <summary>Reads the studio's records beside the writer, never waiting for it.</summary>
public sealed class StudioReads(StudioStore store) : IDisposable
{
    private readonly ConcurrentBag<IStudioConnection> _idle = [];
    private volatile bool _disposed;

    /// <summary>Runs queries on one consistent view and returns their result. Map to plain values inside: the view ends with the call.</summary>
    public T Read<T>(Func<StudioReading, T> work)
    {
        using var reading = Open();
        return work(reading);
    }

    /// <summary>A view that lasts until it is disposed. A long one keeps the store from tidying up: prefer <see cref="Read"/>.</summary>
    public StudioReading Open()
    {
        ObjectDisposedException.ThrowIf(_disposed, this);
        var connection = _idle.TryTake(out var idle) ? idle : store.ConnectReader();
        RunOrDispose(connection, c => c.BeginView());
        return new StudioReading(connection, this);
    }

    /// <summary>Closes the connections that wait for the next read.</summary>
    public void Dispose()
    {
        _disposed = true;
        while (_idle.TryTake(out var connection)) connection.Dispose();
    }

    internal void TakeBack(IStudioConnection connection)
    {
        RunOrDispose(connection, c => c.EndView());
        if (_disposed || _idle.Count >= store.IdleReadersMost) connection.Dispose();
        else _idle.Add(connection);
    }

    private static void RunOrDispose(IStudioConnection connection, Action<IStudioConnection> step)
    {
        try
        {
            step(connection);
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }
}
