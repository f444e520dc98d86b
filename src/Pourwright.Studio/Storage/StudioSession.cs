using System.Data;
using System.Reflection;
using Dapper;

namespace Pourwright.Studio.Storage;

/// <summary>What a query sees of the studio's records. Thin over Dapper.</summary>
/// <remarks>
/// Parameters come as an anonymous object and are named exactly as its members: `@lot` for `new { lot }`. `IN @ids` expands a list.
/// A row becomes a record whose constructor takes the selected columns **in the same order**, names equal but for case and
/// underscores (`poured_ms` is `PouredMs`); integers, booleans (0 and 1) and enums (by name or number) are converted.
/// A column that is sometimes whole and sometimes not must be REAL throughout: write `coalesce(x, 0.0)`, not `coalesce(x, 0)`.
/// </remarks>
public abstract class StudioSession
{
    private readonly IStudioConnection _connection;

    static StudioSession()
    {
        DefaultTypeMap.MatchNamesWithUnderscores = true;
        SqlMapper.TypeMapProvider = type => new ColumnsByName(type);
    }

    private protected StudioSession(IStudioConnection connection) => _connection = connection;

    private protected IStudioConnection Connection => _connection;

    /// <summary>All rows, in the order the statement gives.</summary>
    public IReadOnlyList<T> Query<T>(string sql, object? args = null) => Expecting(sql).Query<T>(sql, args).AsList();

    /// <summary>Rows a few at a time, for answers too long to be held; the view stays open until the last.</summary>
    public IEnumerable<T> Stream<T>(string sql, object? args = null) => _connection.Stream<T>(sql, args);

    /// <summary>The one row, or null.</summary>
    /// <exception cref="InvalidOperationException">There is more than one row.</exception>
    public T? Find<T>(string sql, object? args = null) where T : class =>
        Expecting(sql).QuerySingleOrDefault<T>(sql, args);

    /// <summary>The one row of this name, or null, of a table whose rows never change: the writer reads it once.</summary>
    /// <param name="sql">Takes `@name`.</param>
    /// <param name="name">The key of the row.</param>
    public virtual T? FindLasting<T>(string sql, string name) where T : class => Find<T>(sql, new { name });

    /// <summary>First column of the first row; `default` when there is no row or it is NULL, so ask for `long?` where 0 is an answer.</summary>
    public T Scalar<T>(string sql, object? args = null) => Expecting(sql).ExecuteScalar<T>(sql, args)!;

    /// <summary>Rows as the store holds them: whole numbers, reals, texts, bytes, <see cref="DBNull"/>. Read a few at a time, for tables longer than memory.</summary>
    internal IEnumerable<object?[]> Stream(string sql, object? args = null) => _connection.Stream(sql, args);

    private IDbConnection Expecting(string sql) => _connection.Expecting(sql);

    /// <summary>Chooses a record's constructor by the names of the columns alone: SQLite reports the type of a value, not of a column.</summary>
    private sealed class ColumnsByName(Type type) : SqlMapper.ITypeMap
    {
        private readonly DefaultTypeMap _inner = new(type);

        public ConstructorInfo? FindConstructor(string[] names, Type[] types) =>
            type.GetConstructors().FirstOrDefault(c => names.Length > 0 && Takes(c.GetParameters(), names))
                ?? _inner.FindConstructor(names, types);

        public ConstructorInfo? FindExplicitConstructor() => _inner.FindExplicitConstructor();

        public SqlMapper.IMemberMap? GetConstructorParameter(ConstructorInfo constructor, string columnName) =>
            _inner.GetConstructorParameter(constructor, columnName);

        public SqlMapper.IMemberMap? GetMember(string columnName) => _inner.GetMember(columnName);

        private static bool Takes(ParameterInfo[] parameters, string[] names) =>
            parameters.Length == names.Length && parameters.Zip(names).All(p => Same(p.First.Name!, p.Second));

        private static bool Same(string parameter, string column) =>
            string.Equals(parameter, column.Replace("_", "", StringComparison.Ordinal), StringComparison.OrdinalIgnoreCase);
    }
}
