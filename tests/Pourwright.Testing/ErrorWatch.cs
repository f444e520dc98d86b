using System.Collections.Concurrent;
using Microsoft.Extensions.Logging;

namespace Pourwright.Testing;

/// <summary>A log that fails the test on an error nobody announced.</summary>
public sealed class ErrorWatch : ILoggerProvider, ILogger
{
    private readonly ConcurrentQueue<string> _entries = [];

    public ConcurrentBag<string> Expected { get; } = [];

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
