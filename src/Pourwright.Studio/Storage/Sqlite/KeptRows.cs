using System.Collections;
using System.Data.Common;
using SQLitePCL;
using static SQLitePCL.raw;

namespace Pourwright.Studio.Storage.Sqlite;

/// <summary>The rows of a kept statement: whole numbers, reals, texts, bytes, <see cref="DBNull"/>.</summary>
/// <remarks>A column's type is that of the value in the row at hand: SQLite has none. Before the first row the statement has made its first step already, so the type is known.</remarks>
internal sealed class KeptRows : DbDataReader
{
    private readonly KeptCommand _command;
    private bool _isBefore = true;
    private bool _hasRow;
    private bool _isClosed;

    public KeptRows(KeptCommand command)
    {
        _command = command;
        HasRows = _hasRow = command.Step();
    }

    public override int FieldCount => _command.Columns.Length;

    public override bool HasRows { get; }

    public override bool IsClosed => _isClosed;

    public override int Depth => 0;

    public override int RecordsAffected => -1;

    public override object this[int ordinal] => GetValue(ordinal);

    public override object this[string name] => GetValue(GetOrdinal(name));

    public override bool Read()
    {
        if (!_isBefore) _hasRow = _hasRow && _command.Step();
        _isBefore = false;
        return _hasRow;
    }

    public override bool NextResult() => false;

    public override void Close()
    {
        if (_hasRow) _command.Reset();
        (_hasRow, _isClosed) = (false, true);
    }

    public override string GetName(int ordinal) => _command.Columns[ordinal];

    public override int GetOrdinal(string name) =>
        Array.IndexOf(_command.Columns, name) is >= 0 and var found ? found : throw new ArgumentException($"There is no column {name}.");

    public override Type GetFieldType(int ordinal) => _hasRow
        ? _command.Types[ordinal] = TypeOf(sqlite3_column_type(_command.Compiled, ordinal)) ?? Declared(ordinal)
        : _command.Types[ordinal] ??= Declared(ordinal);

    public override string GetDataTypeName(int ordinal) => sqlite3_column_decltype(_command.Compiled, ordinal).utf8_to_string() ?? "";

    public override object GetValue(int ordinal) => sqlite3_column_type(_command.Compiled, ordinal) switch
    {
        SQLITE_INTEGER => GetInt64(ordinal),
        SQLITE_FLOAT => GetDouble(ordinal),
        SQLITE_TEXT => GetString(ordinal),
        SQLITE_BLOB => sqlite3_column_blob(_command.Compiled, ordinal).ToArray(),
        _ => DBNull.Value,
    };

    public override int GetValues(object[] values)
    {
        var count = Math.Min(values.Length, FieldCount);
        for (var ordinal = 0; ordinal < count; ordinal++) values[ordinal] = GetValue(ordinal);
        return count;
    }

    public override bool IsDBNull(int ordinal) => sqlite3_column_type(_command.Compiled, ordinal) == SQLITE_NULL;

    public override long GetInt64(int ordinal) => sqlite3_column_int64(_command.Compiled, ordinal);

    public override double GetDouble(int ordinal) => sqlite3_column_double(_command.Compiled, ordinal);

    public override string GetString(int ordinal) => sqlite3_column_text(_command.Compiled, ordinal).utf8_to_string();

    public override bool GetBoolean(int ordinal) => GetInt64(ordinal) != 0;

    public override int GetInt32(int ordinal) => checked((int)GetInt64(ordinal));

    public override short GetInt16(int ordinal) => checked((short)GetInt64(ordinal));

    public override byte GetByte(int ordinal) => checked((byte)GetInt64(ordinal));

    public override float GetFloat(int ordinal) => (float)GetDouble(ordinal);

    public override decimal GetDecimal(int ordinal) => throw NotKept("a decimal");

    public override char GetChar(int ordinal) => throw NotKept("a letter");

    public override DateTime GetDateTime(int ordinal) => throw NotKept("an instant");

    public override Guid GetGuid(int ordinal) => throw NotKept("a Guid");

    public override long GetBytes(int ordinal, long dataOffset, byte[]? buffer, int bufferOffset, int length) => throw NotKept("bytes in parts");

    public override long GetChars(int ordinal, long dataOffset, char[]? buffer, int bufferOffset, int length) => throw NotKept("letters in parts");

    public override IEnumerator GetEnumerator() => new DbEnumerator(this);

    private static NotSupportedException NotKept(string what) => new($"A column holds no {what}: read a whole number, a double, a text or bytes.");

    private static Type? TypeOf(int type) => type switch
    {
        SQLITE_INTEGER => typeof(long),
        SQLITE_FLOAT => typeof(double),
        SQLITE_TEXT => typeof(string),
        SQLITE_BLOB => typeof(byte[]),
        _ => null,
    };

    /// <summary>By what the column was declared as; bytes where it is computed, which Dapper converts to anything.</summary>
    private Type Declared(int ordinal) => GetDataTypeName(ordinal).ToUpperInvariant() switch
    {
        "INTEGER" => typeof(long),
        "REAL" => typeof(double),
        "TEXT" => typeof(string),
        _ => typeof(byte[]),
    };
}
