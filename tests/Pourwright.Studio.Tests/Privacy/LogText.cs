using System.Collections.Concurrent;
using Microsoft.Extensions.Logging;

namespace Pourwright.Studio.Tests.Privacy;

/// <summary>All that is logged, at any level, with the values of each entry.</summary>
internal sealed class LogText : ILoggerProvider, ILogger
{
    private readonly ConcurrentQueue<string> _lines = [];

    public string Text => string.Join('\n', _lines);

    public ILogger CreateLogger(string categoryName) => this;

    public bool IsEnabled(LogLevel logLevel) => true;

    public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
        _lines.Enqueue($"{formatter(state, exception)} {exception} {(state is IEnumerable<KeyValuePair<string, object?>> values ? string.Join(' ', values) : "")}");

    public IDisposable? BeginScope<TState>(TState state) where TState : notnull => null;

    public void Dispose() { }
}
