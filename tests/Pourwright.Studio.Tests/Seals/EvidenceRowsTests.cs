using System.Text;
using System.Text.Json.Nodes;
using Pourwright.Evidence.Sealing;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Tests.Seals;

public sealed class EvidenceRowsTests
{
    private static readonly EvidenceTable Holds = EvidenceTable.Find("piece_holds")!;

    /// <summary>Written out by hand, it is what canonical JSON makes of the same values.</summary>
    [Fact]
    public void Canonical_EveryKindOfValue_IsCanonicalJson()
    {
        object?[] row = [1L << 60, "studios/alder/pieces/ä\n\"7\"", 0.1, -0.0, DBNull.Value, new byte[] { 1, 171 }, -1_770_368_400_000L];
        var node = new JsonObject
        {
            ["table"] = "piece_holds",
            ["rows"] = new JsonArray(new JsonObject
            {
                ["sequence"] = "1152921504606846976",
                ["piece"] = "studios/alder/pieces/ä\n\"7\"",
                ["kind"] = "0.1",
                ["cause"] = "0",
                ["reason"] = null,
                ["person"] = new JsonObject { ["bytes"] = "01ab" },
                ["event_ms"] = -1_770_368_400_000,
            }),
        };
        Assert.Equal(Encoding.UTF8.GetString(CanonicalJson.Bytes(node)), Encoding.UTF8.GetString(EvidenceRows.Canonical(Holds, [row])));
    }

    /// <summary>A link made before a column was added covers the columns there were.</summary>
    [Fact]
    public void Canonical_FirstColumnsOfTwoRows_NamesThoseAlone() => Assert.Equal(
        """{"rows":[{"piece":"a","sequence":1},{"piece":"b","sequence":2}],"table":"piece_holds"}""",
        Encoding.UTF8.GetString(EvidenceRows.Canonical(Holds, [[1L, "a"], [2L, "b"]])));
}
