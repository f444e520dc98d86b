using System.Data;
using System.Data.Common;
using System.Diagnostics.CodeAnalysis;
using System.Text;
using Microsoft.Data.Sqlite;
using SQLitePCL;
using static SQLitePCL.raw;

namespace Pourwright.Studio.Storage.Sqlite;

/// <summary>A statement that stays compiled while Dapper fills and runs it time and again. One run at a time.</summary>
/// <remarks>The provider's own command looks up the place of each parameter and the name and type of each column anew at every run, which costs more than SQLite's part of a small statement.</remarks>
internal sealed class KeptCommand(PreparedConnection connection, string sql) : FilledCommand(connection)
{
    /// <summary>Bytes of a text that is handed over without a copy on the heap: above names, ids and the like.</summary>
    private const int ShortText = 512;

    private readonly SqliteCommand _filled = new();
    private sqlite3_stmt? _compiled;
    private string _text = sql;
    private string[] _names = [];
    private int[] _places = [];

    /// <summary>As written, before Dapper expanded it.</summary>
    public string Sql { get; } = sql;

    /// <summary>Somebody runs it or reads its rows.</summary>
    public bool IsBusy { get; set; }

    [AllowNull]
    public override string CommandText
    {
        get => _text;
        set
        {
            if (value == _text) return;
            Forget();
            _text = value ?? "";
        }
    }

    /// <summary>The names of the columns of its rows.</summary>
    public string[] Columns { get; private set; } = [];

    /// <summary>What each column held when it was last asked; null where it never was.</summary>
    public Type?[] Types { get; private set; } = [];

    public sqlite3_stmt Compiled => _compiled ??= Compile();

    protected override DbParameterCollection DbParameterCollection => _filled.Parameters;

    /// <returns>Rows that the last statement to change any has changed.</returns>
    public override int ExecuteNonQuery()
    {
        Bind();
        while (Step()) { }
        return sqlite3_changes(connection.Handle);
    }

    public override object? ExecuteScalar()
    {
        using var rows = ExecuteDbDataReader(CommandBehavior.Default);
        return rows.Read() ? rows.GetValue(0) : null;
    }

    /// <summary>Goes to the next row.</summary>
    /// <returns>False where there is none: the statement may be run again.</returns>
    /// <exception cref="SqliteException">It failed, likewise.</exception>
    public bool Step()
    {
        var code = sqlite3_step(Compiled);
        if (code == SQLITE_ROW) return true;
        try
        {
            if (code != SQLITE_DONE) SqliteException.ThrowExceptionForRC(code, connection.Handle);
            return false;
        }
        finally
        {
            Reset();
        }
    }

    /// <summary>Leaves the rest of the rows unread. The code is that of the last step, which has been told of.</summary>
    public void Reset() => sqlite3_reset(Compiled);

    public override void Cancel() { }

    protected override DbParameter CreateDbParameter() => new SqliteParameter();

    protected override DbDataReader ExecuteDbDataReader(CommandBehavior behavior)
    {
        Bind();
        return new KeptRows(this);
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing && connection.TakeBack(this))
        {
            _filled.Parameters.Clear();
            return;
        }
        Forget();
        _filled.Dispose();
        base.Dispose(disposing);
    }

    private sqlite3_stmt Compile()
    {
        SqliteException.ThrowExceptionForRC(sqlite3_prepare_v3(connection.Handle, _text, SQLITE_PREPARE_PERSISTENT, out var compiled, out var rest), connection.Handle);
        if (!string.IsNullOrWhiteSpace(rest)) throw new InvalidOperationException($"Say one statement a text: \"{rest}\" would not run.");
        Columns = [.. Enumerable.Range(0, sqlite3_column_count(compiled)).Select(column => sqlite3_column_name(compiled, column).utf8_to_string())];
        Types = new Type?[Columns.Length];
        return compiled;
    }

    private void Forget()
    {
        _compiled?.Dispose();
        (_compiled, _names) = (null, []);
    }

    private void Bind()
    {
        var (statement, parameters) = (Compiled, _filled.Parameters);
        if (!IsAsBefore(parameters)) FindPlaces(parameters);
        for (var index = 0; index < _places.Length; index++)
            if (_places[index] > 0)
                SqliteException.ThrowExceptionForRC(Bind(statement, _places[index], parameters[index].Value), connection.Handle);
    }

    private bool IsAsBefore(SqliteParameterCollection parameters)
    {
        if (parameters.Count != _names.Length || parameters.Count == 0) return false;
        for (var index = 0; index < _names.Length; index++)
            if (parameters[index].ParameterName != _names[index]) return false;
        return true;
    }

    /// <exception cref="InvalidOperationException">One of the statement's has no value.</exception>
    private void FindPlaces(SqliteParameterCollection parameters)
    {
        _names = [.. parameters.Cast<SqliteParameter>().Select(parameter => parameter.ParameterName)];
        _places = [.. _names.Select(name => sqlite3_bind_parameter_index(Compiled, $"@{name}"))];
        if (_places.Count(place => place > 0) == sqlite3_bind_parameter_count(Compiled)) return;
        _names = [];
        throw new InvalidOperationException($"A parameter has no value: give {_text} all it names.");
    }

    private static int Bind(sqlite3_stmt statement, int place, object? value) => value switch
    {
        null or DBNull => sqlite3_bind_null(statement, place),
        string text => BindText(statement, place, text),
        long whole => sqlite3_bind_int64(statement, place, whole),
        int whole => sqlite3_bind_int64(statement, place, whole),
        bool truth => sqlite3_bind_int64(statement, place, truth ? 1 : 0),
        double.NaN => throw new InvalidOperationException("A column holds no NaN: say null, or find out where it comes from."),
        double real => sqlite3_bind_double(statement, place, real),
        byte[] bytes => sqlite3_bind_blob(statement, place, bytes),
        _ => throw new NotSupportedException($"A column holds no {value.GetType()}: give a whole number, a double, a text or bytes."),
    };

    private static int BindText(sqlite3_stmt statement, int place, string text)
    {
        if (Encoding.UTF8.GetMaxByteCount(text.Length) >= ShortText) return sqlite3_bind_text(statement, place, text);
        Span<byte> bytes = stackalloc byte[ShortText];
        var length = Encoding.UTF8.GetBytes(text, bytes);
        bytes[length] = 0;
        return sqlite3_bind_text(statement, place, utf8z.FromSpan(bytes[..(length + 1)]));
    }
}
