using System.Collections.Concurrent;
using Microsoft.Extensions.Logging;

namespace Pourwright.Testing;

/// <summary>A log that fails the test on an error nobody announced.</summary>
public sealed class ErrorWatch : ILoggerProvider, ILogger
{
    private readonly ConcurrentQueue<string> _entries = [];

    /// <summary>
    /// Texts of errors that may come. A client that leaves while its request is still being read is one for the framework, before any code of
    /// the node runs and only if the reader learns it sooner than the call does: browsers that close leave so on a busy machine.
    /// </summary>
    public ConcurrentBag<string> Expected { get; } = ["System.IO.IOException: The client reset the request stream."];

    public ILogger CreateLogger(string categoryName) => this;

    public bool IsEnabled(LogLevel logLevel) => logLevel >= LogLevel.Error;

    public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
    {
        if (!IsEnabled(logLevel)) return;
        var entry = $"{formatter(state, exception)} {exception}";
        // Some tests announce hundreds of thousands.
        if (!IsExpected(entry)) _entries.Enqueue(entry);
    }

    public IDisposable? BeginScope<TState>(TState state) where TState : notnull => null;

    public void Dispose() { }

    public void ThrowIfAny()
    {
        var unannounced = _entries.Where(entry => !IsExpected(entry)).ToList();
        if (unannounced.Count > 0) throw new InvalidOperationException($"The log has errors that the test did not announce:\n{string.Join('\n', unannounced)}");
    }

    private bool IsExpected(string entry) => Expected.Any(text => entry.Contains(text, StringComparison.Ordinal));
}
