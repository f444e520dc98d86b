using System.Data;
using System.Data.Common;
using System.Diagnostics.CodeAnalysis;

namespace Pourwright.Studio.Storage;

/// <summary>A command that Dapper fills: what it asks of any, and a store's own command has no use for.</summary>
internal abstract class FilledCommand(DbConnection connection) : DbCommand
{
    [AllowNull]
    public override string CommandText { get; set; } = "";

    public override int CommandTimeout { get; set; }

    public override CommandType CommandType { get; set; } = CommandType.Text;

    public override bool DesignTimeVisible { get; set; }

    public override UpdateRowSource UpdatedRowSource { get; set; }

    protected override DbConnection? DbConnection
    {
        get => connection;
        set => throw new NotSupportedException("A command stays with its connection.");
    }

    protected override DbTransaction? DbTransaction { get; set; }

    public override void Cancel() => throw new NotSupportedException("A statement of the store is short.");

    public override void Prepare() { }
}
