using System.Text.Json.Nodes;
using Pourwright.Evidence.SupplierLabels;

namespace Pourwright.Evidence.Tests.SupplierLabels;

/// <summary>Labels on GTIN 09506000134352 of GS1's example prefix; <c>^</c> stands for FNC1.</summary>
public sealed class SupplierLabelTests
{
    public static TheoryData<string> Labels => new(Vectors().Select(vector => (string)vector["name"]!));

    /// <summary>13 invented labels; verdicts of another parser, driven by the GS1 Barcode Syntax Dictionary.</summary>
    [Theory]
    [MemberData(nameof(Labels))]
    public void Read_InventedLabel_AsAnotherParserReadsIt(string name)
    {
        var vector = Vectors().Single(vector => (string)vector["name"]! == name);
        var reading = SupplierLabel.Read((string)vector["input"]!, 2026);

        Assert.Equal((bool)vector["valid"]!, reading.Faults.Count == 0);
        if (vector["parsed"] is JsonArray parsed)
            Assert.Equal(parsed.Select(pair => $"({pair![0]}){pair[1]}"), reading.Elements.Select(element => element.ToString()));
    }

    /// <summary>1.250 kg as 310 with three decimals: 1250 · 10^(6−3) mg.</summary>
    [Theory]
    [InlineData("]d20109506000134352310300125017271231112602001021A^3012")]
    [InlineData("]C1^0109506000134352310300125017271231112602001021A^3012")]
    [InlineData("^0109506000134352310300125017271231112602001021A^3012")]
    [InlineData("(01)09506000134352(3103)001250(17)271231(11)260200(10)21A(30)12")]
    [InlineData("https://id.gs1.org/01/09506000134352/10/21A?3103=001250&17=271231&11=260200&30=12&linkType=all")]
    [InlineData("]Q1https://cans.example.com/q/gtin/9506000134352/lot/21A?3103=001250&17=271231;11=260200&30=12#top")]
    public void Read_OneCanInSixWays_SaysTheSame(string text)
    {
        var reading = Read(text);

        Assert.Empty(reading.Faults);
        Assert.Empty(reading.ToConfirm);
        Assert.Equal(("09506000134352", "21A", 1_250_000L, 12), (reading.Gtin!, reading.Lot!, reading.NetMassMg!.Value, reading.Count!.Value));
        // 2026 is no leap year: day 00 of February is the 28th.
        Assert.Equal((new DateOnly(2027, 12, 31), new DateOnly(2026, 2, 28)), (reading.ExpiryDate!.Value, reading.ProductionDate!.Value));
    }

    [Theory]
    [InlineData("9506000134352")]
    [InlineData("]E09506000134352")]
    [InlineData("09506000134352")]
    public void Read_RetailCode_IsAGtinAlone(string text)
    {
        var reading = Read(text);
        Assert.Empty(reading.Faults);
        Assert.Equal(("09506000134352", null), (reading.Gtin, reading.Lot));
    }

    [Theory]
    [InlineData("^010950600013435310ABC", "(01)09506000134353, GTIN: its last digit should be 2: a digit was misread or mistyped.")]
    [InlineData("^010950600013435217271301", "(17)271301, expiry: \"271301\" is no date of year, month and day.")]
    [InlineData("^010950600013435210AAAAAAAAAAAAAAAAAAAAA", "(10)AAAAAAAAAAAAAAAAAAAAA, lot: it has 21 characters, 1 to 20 belong there.")]
    [InlineData("^010950600013435210A B", "(10)A B, lot: \"A B\" has characters that do not belong there.")]
    [InlineData("^0109506000134^10A", "(01)09506000134, GTIN: it has 11 characters, 14 belong there.")]
    [InlineData("^0109506000134352891234", "\"891234\" begins with no identifier known here: scan the code again, or type what the can shows.")]
    [InlineData("^", "The code holds nothing: scan it again.")]
    [InlineData("A2602-17", "\"A2602-17\" is no GS1 code: type it with brackets, such as (01)09506000134352(10)A2602-17, or let the scanner send its symbology prefix.")]
    [InlineData("(01)09506000134352(89)1", "(89) is no identifier known here: check it against the can, or leave it out.")]
    [InlineData("(01)09506000134352(10)", "\"(01)09506000134352(10)\" is no list of elements: write each as its identifier in brackets and its value, such as (10)A2602-17.")]
    [InlineData("https://cans.example.com/resin/A2602", "https://cans.example.com/resin/A2602 holds no GS1 key: it is the supplier's own address. Type lot and date as the can shows them.")]
    [InlineData("https://id.gs1.org/01/09506000134352?10=A1", "10=A1 belongs into the path of the link, after its key: the label was made wrongly, check it against the can.")]
    [InlineData("https://id.gs1.org/01/09506000134352?999=A1", "999=A1 is no attribute known here: numbers alone are kept for GS1.")]
    [InlineData("https://id.gs1.org/01/09506000134352/21/5/10/A1", "https://id.gs1.org/01/09506000134352/21/5/10/A1 holds no GS1 key: it is the supplier's own address. Type lot and date as the can shows them.")]
    [InlineData("https://id.gs1.org/01/09506000134352?99=a&99=b", "(99) stands in the link twice: take what the can shows.")]
    [InlineData("https://id.gs1.org/01/0950600 134352", "\"https://id.gs1.org/01/0950600 134352\" is no web address: scan the code again.")]
    [InlineData("^80063012345678901505", "(8006)3012345678901505, piece of an item: it has 16 characters, 18 belong there.")]
    [InlineData("^8006095060001343520302", "(8006)095060001343520302, piece of an item: \"0302\" is no piece of a total.")]
    [InlineData("^800319506000134352", "(8003)19506000134352, returnable asset: \"1\" should be 0.")]
    public void Read_LabelThatCannotBeTaken_SaysWhatAndTheWayOut(string text, string fault) =>
        Assert.Equal(fault, Assert.Single(Read(text).Faults));

    [Theory]
    [InlineData("(10)A1", "(10)A1 belongs with (01) or (02) or (8006) or (8026), which is not there: look for a second code on the can.")]
    [InlineData("(02)09506000134352(00)095060001234567893", "(02)09506000134352 belongs with (37), which is not there: look for a second code on the can.")]
    [InlineData("(01)09506000134352(255)9506000134352", "(01)09506000134352 and (255)9506000134352 do not go together: check both against the can.")]
    [InlineData("(01)09506000134352(3103)001250(3102)000125", "(3103)001250 and (3102)000125 do not go together: check both against the can.")]
    [InlineData("(01)09506000134352(10)A1(10)A2", "The label says (10)A1 and (10)A2: only one can be true.")]
    public void Read_ElementsThatMustOrMustNotStandTogether_AreToConfirm(string text, string remark)
    {
        var reading = Read(text);
        Assert.Empty(reading.Faults);
        Assert.Equal(remark, reading.ToConfirm[0]);
    }

    /// <summary>Agreed between partners or a company's own: 90 to 99 stand alone.</summary>
    [Theory]
    [InlineData("^91A2602-17")]
    [InlineData("(400)PO-1(99)x")]
    [InlineData("(00)095060001234567893(02)09506000134352(37)6(10)A1")]
    [InlineData("(01)09506000134352(3925)12599(3103)001250")]
    public void Read_ElementsThatMayStandSo_NothingToConfirm(string text)
    {
        var reading = Read(text);
        Assert.Empty(reading.Faults);
        Assert.Empty(reading.ToConfirm);
    }

    [Theory]
    [InlineData("^010950600013435210A2602-172100045", "(10)A2602-172100045 may be A2602-17 and (21)00045, run together: compare it with the can before it is kept.")]
    [InlineData("^010950600013435210A2602-1717271231", "(10)A2602-1717271231 may be A2602-17 and (17)271231, run together: compare it with the can before it is kept.")]
    [InlineData("^010950600013435210B731030012501126020011", null)]
    [InlineData("^010950600013435210B7310300125011260200", "(10)B7310300125011260200 may be B7 and (3103)001250(11)260200, or B73103001250 and (11)260200, run together: compare it with the can before it is kept.")]
    [InlineData("^0109506000134352172712311017271231", null)]
    [InlineData("^010950600013435210A2602-17", null)]
    [InlineData("^010950600013435210A17271331", null)]
    public void Read_LotThatMayHaveSwallowedWhatFollowed_IsToConfirm(string text, string? remark) =>
        Assert.Equal(remark, Read(text).ToConfirm.SingleOrDefault());

    [Fact]
    public void Read_LotThatMayHaveSwallowedWhatFollowed_GivesEveryReading()
    {
        var reading = Read("^010950600013435210B7310300125011260200");

        Assert.Equal(
            ["B7310300125011260200", "B7", "B73103001250"],
            reading.Others.Prepend(reading).Select(one => one.Lot));
        Assert.Equal([null, 1_250_000L, null], reading.Others.Prepend(reading).Select(one => one.NetMassMg));
        Assert.Equal([null, new DateOnly(2026, 2, 28), new DateOnly(2026, 2, 28)], reading.Others.Prepend(reading).Select(one => one.ProductionDate));
        Assert.Empty(Read("^010950600013435210A2602-17").Others);
    }

    /// <summary>
    /// What a lost FNC1 costs: of 2,000 invented lots before an expiry date and a serial each, all are told
    /// to be looked at, with the true split among those shown; of the same lots read rightly, none is.
    /// </summary>
    [Fact]
    public void Read_TwoThousandInventedLots_LostSeparatorsAreToldAndNoOthers()
    {
        var random = new Random(7);
        string[] lots = [.. Enumerable.Range(0, 2000).Select(_ => InventedLot(random))];

        Assert.Equal(2000, lots.Count(lot => Read($"^010950600013435210{lot}17271231").ToConfirm.Any(remark => remark.Contains($" {lot} and (17)271231", StringComparison.Ordinal))));
        Assert.Equal(2000, lots.Count(lot => Read($"^010950600013435210{lot}2100451").ToConfirm.Any(remark => remark.Contains($" {lot} and (21)00451", StringComparison.Ordinal))));
        Assert.Equal(0, lots.Count(lot => Read($"^010950600013435210{lot}^17271231").ToConfirm.Count > 0));
    }

    [Theory]
    [InlineData("271231", 2026, "2027-12-31")]
    [InlineData("280229", 2026, "2028-02-29")]
    [InlineData("280200", 2026, "2028-02-29")]
    [InlineData("760101", 2026, "2076-01-01")]
    [InlineData("770101", 2026, "1977-01-01")]
    [InlineData("000101", 2049, "2000-01-01")]
    [InlineData("000101", 2050, "2100-01-01")]
    [InlineData("990101", 2101, "2099-01-01")]
    public void LabelDate_TwoDigitsOfYear_AreReadNearTheCurrentYear(string text, int currentYear, string day) =>
        Assert.Equal(day, LabelDate.Of(text, currentYear)!.Value.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture));

    [Theory]
    [InlineData("270229")]
    [InlineData("270001")]
    [InlineData("270431")]
    [InlineData("27123")]
    [InlineData("27123A")]
    public void LabelDate_NoDay_Null(string text) => Assert.Null(LabelDate.Of(text, 2026));

    /// <summary>What was read is written as a scanner sends it, with FNC1 after values of free length alone.</summary>
    [Fact]
    public void Write_ElementsRead_GiveTheElementString() => Assert.Equal(
        "^010950600013435210A1^17271231", ElementString.Write(Read("(01)09506000134352(10)A1(17)271231").Elements).Replace(ElementString.Fnc1, '^'));

    /// <summary>1,000 random elements each way: brackets, scan and link of the same label read alike.</summary>
    [Fact]
    public void Read_RandomLots_SurviveEveryForm()
    {
        const string allowed = "!\"%&'()*+,-./0123456789:;<=>?ABCXYZ_abcxyz";
        var random = new Random(11);
        for (var run = 0; run < 1000; run++)
        {
            var lot = string.Concat(Enumerable.Range(0, random.Next(1, 21)).Select(_ => allowed[random.Next(allowed.Length)]));
            var elements = Read($"^010950600013435210{lot}").Elements;
            Assert.Equal(lot, elements[1].Value);
            Assert.Equal(elements, Read(string.Concat(elements.Select(element => $"({element.Ai}){element.Value.Replace("(", "\\(", StringComparison.Ordinal)}"))).Elements);
            Assert.Equal(elements, Read($"https://id.gs1.org/01/09506000134352/10/{Uri.EscapeDataString(lot)}").Elements);
        }
    }

    /// <summary>Forms of lot numbers as makers use them: week and run, date and shift, letter and running number. Invented, no source.</summary>
    private static string InventedLot(Random random) => random.Next(3) switch
    {
        0 => $"{(char)random.Next('A', 'G')}{random.Next(25, 28)}{random.Next(1, 53):00}-{random.Next(1, 99)}",
        1 => $"{random.Next(25, 28)}{random.Next(1, 13):00}{random.Next(1, 29):00}{(char)random.Next('A', 'D')}",
        _ => $"L{random.Next(1000, 99999)}",
    };

    private static LabelReading Read(string text) => SupplierLabel.Read(text.Replace('^', ElementString.Fnc1), 2026);

    private static JsonObject[] Vectors() =>
        [.. JsonNode.Parse(File.ReadAllText("SupplierLabels/gs1_lot_label_vectors.json"))!.AsArray().Select(vector => vector!.AsObject())];
}
