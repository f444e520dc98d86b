using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Classes.Moulds;

/// <summary>SQL of moulds and of who holds them. Kind 1 of a session is the pour, 2 the machine day; state 3 is cancelled.</summary>
public static class MouldStore
{
    private const string Columns = "SELECT name, site, display_name, length_mm, width_mm, depth_mm, count FROM moulds";

    public static MouldRecord? FindMould(StudioSession session, string name) =>
        session.Find<MouldRecord>($"{Columns} WHERE name = @name", new { name });

    /// <exception cref="Refusals.Refusal">MOULD_NOT_FOUND.</exception>
    public static MouldRecord GetMould(StudioSession session, string name) => FindMould(session, name) ?? throw ResourceKind.Mould.NotFound(name);

    /// <summary>Of a site, by id.</summary>
    public static IReadOnlyList<MouldRecord> GetMoulds(StudioSession session, string site) =>
        session.Query<MouldRecord>($"{Columns} WHERE site = @site ORDER BY name", new { site });

    public static IReadOnlyList<MouldRecord> ListMoulds(StudioSession session, string site, PageRequest page) =>
        session.Query<MouldRecord>(
            $"{Columns} WHERE site = @site AND name > @after ORDER BY name LIMIT @limit", new { site, after = page.AfterText, limit = page.Limit });

    /// <exception cref="Refusals.Refusal">MOULD_EXISTS.</exception>
    public static void InsertMould(StudioTransaction tx, MouldRecord mould)
    {
        if (FindMould(tx, mould.Name) is not null) throw ResourceKind.Mould.AlreadyExists(mould.Name);
        tx.Execute(
            """
            INSERT INTO moulds (name, site, display_name, length_mm, width_mm, depth_mm, count)
            VALUES (@Name, @Site, @DisplayName, @LengthMm, @WidthMm, @DepthMm, @Count)
            """, mould);
    }

    private const string Holds =
        """
        SELECT booking.mould, booking.class, booking.count, pour.start_ms, coalesce(machine.end_ms, pour.end_ms) AS end_ms
          FROM mould_bookings booking
          LEFT JOIN sessions pour ON pour.class = booking.class AND pour.kind = 1 AND pour.state <> 3
          LEFT JOIN sessions machine ON machine.class = booking.class AND machine.kind = 2 AND machine.state <> 3
        """;

    /// <summary>What a class keeps.</summary>
    public static IReadOnlyList<MouldHold> GetHolds(StudioSession session, string castingClass) =>
        session.Query<MouldHold>($"{Holds} WHERE booking.class = @castingClass ORDER BY booking.mould", new { castingClass });

    /// <summary>What other classes hold of these moulds.</summary>
    public static IReadOnlyList<MouldHold> GetHoldsOfOthers(StudioSession session, IReadOnlyCollection<string> moulds, string castingClass) =>
        session.Query<MouldHold>(
            $"{Holds} WHERE booking.mould IN @moulds AND booking.class <> @castingClass AND pour.start_ms IS NOT NULL ORDER BY booking.mould, booking.class",
            new { moulds, castingClass });

    /// <summary>Is anything kept of moulds at a site at all? A site that does not keep its moulds here is not cautioned about them.</summary>
    public static bool AreMouldsKept(StudioSession session, string site) =>
        session.Scalar<long>("SELECT EXISTS (SELECT 1 FROM moulds WHERE site = @site)", new { site }) == 1;

    /// <summary>Keeps so many for a class instead of what it kept before; 0 for none.</summary>
    public static void Book(StudioTransaction tx, string mould, string castingClass, int count)
    {
        tx.Execute("DELETE FROM mould_bookings WHERE mould = @mould AND class = @castingClass", new { mould, castingClass });
        if (count > 0)
            tx.Execute("INSERT INTO mould_bookings (class, mould, count) VALUES (@castingClass, @mould, @count)", new { mould, castingClass, count });
    }
}
