using System.Text.Json.Nodes;
using Pourwright.Evidence.Epcis;

namespace Pourwright.Evidence.Tests.Epcis;

public sealed class ProvAndSheetTests
{
    private static readonly TraceRecord[] Records = [Invented.ResinIn, Invented.HardenerIn, Invented.Mixing, Invented.Pour, Invented.Read, Invented.Hold];

    private static readonly string[] Kinds = ["used", "wasGeneratedBy", "wasDerivedFrom", "wasAssociatedWith"];

    private static readonly JsonObject Graph = new ProvDocument(Invented.Domain).Write(Records);

    /// <summary>Two lots make a mix, the mix and a blank make a piece; four acts, of which one is somebody's.</summary>
    [Fact]
    public void Prov_InventedRecords_TellWhatWasMadeOfWhat()
    {
        Assert.Equal(
            ["pw:class/lot/HARD-B.B2601-03", "pw:class/lot/MIX.2026-0307-04", "pw:class/lot/RESIN-A.A2602-17", "pw:obj/blank.9921", "pw:obj/piece.7731"],
            Names("entity").Order(StringComparer.Ordinal));
        Assert.Equal(4, Names("activity").Count());
        Assert.Equal(["pw:party/staff-12"], Names("agent"));
        Assert.Equal(
            [
                "pw:class/lot/MIX.2026-0307-04 of pw:class/lot/RESIN-A.A2602-17",
                "pw:class/lot/MIX.2026-0307-04 of pw:class/lot/HARD-B.B2601-03",
                "pw:obj/piece.7731 of pw:class/lot/MIX.2026-0307-04",
                "pw:obj/piece.7731 of pw:obj/blank.9921",
            ],
            Relations("wasDerivedFrom").Select(derived => $"{derived["prov:generatedEntity"]} of {derived["prov:usedEntity"]}"));
    }

    /// <summary>20 kg and 10 kg came in, 1.79 kg were mixed: masses stand in whole milligrams; the piece has none.</summary>
    [Fact]
    public void Prov_Generated_CarriesItsMass() =>
        Assert.Equal([20_000_000L, 10_000_000L, 1_790_000L, null], Relations("wasGeneratedBy").Select(made => (long?)made["pw:mass_mg"]));

    /// <summary>Each name that a relation uses is declared, each prefix as well: what a PROV reader asks first.</summary>
    [Fact]
    public void Prov_EveryReference_IsDeclared()
    {
        var declared = Names("entity").Concat(Names("activity")).Concat(Names("agent")).ToHashSet();
        var used = Kinds.SelectMany(Relations)
            .SelectMany(relation => relation.Where(member => member.Key.StartsWith("prov:", StringComparison.Ordinal)).Select(member => (string)member.Value!)).ToArray();

        Assert.NotEmpty(used);
        Assert.Empty(used.Except(declared));
        Assert.Empty(declared.Select(name => name.Split(':')[0]).Except(Names("prefix")));
    }

    [Fact]
    public void Sheet_InventedRecords_OneLineAnEventAndMaterialByTime()
    {
        var lines = new TraceSheet(Invented.Domain).Write(Records.Reverse()).Split("\r\n");

        // 1 head, 2 received, 3 mixed, 3 poured, 1 read, 1 held, and the end of the last line.
        Assert.Equal(12, lines.Length);
        Assert.Equal("event_id,event_time,time_zone,step,side,item,supplier_lot,quantity,unit,place,documents,recorded_by", lines[0]);
        Assert.Equal(
            "ni:///sha-256;3e7bdab17a694b3294cb19cf1bc6f981ee73db54465ddf9b213ab83b3f7cb41b?ver=CBV2.0,2026-03-02T09:15:00.000+01:00,Europe/Vienna,receiving,in,"
            + "https://trace.example.org/class/lot/RESIN-A.A2602-17,A2602-17,20,kg,https://trace.example.org/loc/site-north.store,https://trace.example.org/bt/delivery-2026-0041,",
            lines[1]);
        Assert.Equal(["in", "in", "used", "used", "made", "used", "used", "made", "seen", "held"], lines[1..^1].Select(line => line.Split(',')[4]));
        Assert.Equal(["20", "10", "1.2", "0.6", "1.79", "1.5", "", "", "", "18.8"], lines[1..^1].Select(line => line.Split(',')[7]));
    }

    [Theory]
    [InlineData("A,1", "\"A,1\"")]
    [InlineData("A\"1", "\"A\"\"1\"")]
    [InlineData("=1+1", "'=1+1")]
    public void Sheet_SupplierLotOfAnyText_StaysOneHarmlessCell(string lot, string cell) =>
        Assert.Contains($",{cell},20,kg,", new TraceSheet(Invented.Domain).Write([Invented.ResinIn with { SupplierLot = lot }]), StringComparison.Ordinal);

    private static IEnumerable<string> Names(string section) => Graph[section]!.AsObject().Select(member => member.Key);

    private static IEnumerable<JsonObject> Relations(string kind) => Graph[kind]!.AsObject().Select(member => member.Value!.AsObject());
}
