using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Defects;

/// <summary>SQL of defects.</summary>
public static class DefectStore
{
    private const string Columns = "SELECT name, studio, piece, kind, find_ms, finder, note, photo_uris FROM defects";

    /// <exception cref="Refusals.Refusal">DEFECT_NOT_FOUND.</exception>
    public static DefectRecord GetDefect(StudioSession session, string name) =>
        FindDefect(session, name) ?? throw ResourceKind.Defect.NotFound(name);

    /// <summary>By id; only those of a piece where one is given.</summary>
    public static IReadOnlyList<DefectRecord> ListDefects(StudioSession session, string studio, string piece, PageRequest page) =>
        session.Query<DefectRecord>(
            $"""
            {Columns}
             WHERE studio = @studio AND name > @after AND (@piece = '' OR piece = @piece)
             ORDER BY name LIMIT @limit
            """,
            new { studio, piece, after = page.AfterText, limit = page.Limit });

    /// <summary>All defects of a piece, first found first.</summary>
    public static IReadOnlyList<DefectRecord> GetDefects(StudioSession session, string piece) =>
        session.Query<DefectRecord>($"{Columns} WHERE piece = @piece ORDER BY find_ms, name", new { piece });

    /// <exception cref="Refusals.Refusal">DEFECT_EXISTS.</exception>
    public static void InsertDefect(StudioTransaction tx, DefectRecord defect)
    {
        if (FindDefect(tx, defect.Name) is not null) throw ResourceKind.Defect.AlreadyExists(defect.Name);
        tx.Execute(
            """
            INSERT INTO defects (name, studio, piece, kind, find_ms, finder, note, photo_uris)
            VALUES (@Name, @Studio, @Piece, @Kind, @FindMs, @Finder, @Note, @PhotoUris)
            """,
            defect);
    }

    private static DefectRecord? FindDefect(StudioSession session, string name) =>
        session.Find<DefectRecord>($"{Columns} WHERE name = @name", new { name });
}
