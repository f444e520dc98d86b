using System.Text;
using System.Text.Json.Nodes;
using Pourwright.Evidence.Sealing;

namespace Pourwright.Evidence.Tests.Sealing;

public sealed class CanonicalJsonTests
{
    [Theory]
    [InlineData("""{ "b": 1, "a": [true, null, false] }""", """{"a":[true,null,false],"b":1}""")]
    [InlineData("""{"mass_mg": 1790000, "lot": "A2602-17"}""", """{"lot":"A2602-17","mass_mg":1790000}""")]
    [InlineData("""{"a":{"z":{},"y":[]}}""", """{"a":{"y":[],"z":{}}}""")]
    [InlineData("-0", "0")]
    [InlineData("9007199254740991", "9007199254740991")]
    public void Bytes_OneMeaning_OneSpelling(string written, string canonical) =>
        Assert.Equal(canonical, Text(JsonNode.Parse(written)));

    /// <summary>RFC 8785, 3.2.3, from memory: names are ordered by their UTF-16 code units, so the emoji's surrogates stand before U+FB33.</summary>
    [Fact]
    public void Bytes_NamesOfAllKinds_StandInTheOrderOfTheirCodeUnits()
    {
        var names = new JsonObject
        {
            ["\u20ac"] = "Euro Sign",
            ["\r"] = "Carriage Return",
            ["\ufb33"] = "Hebrew Letter Dalet With Dagesh",
            ["1"] = "One",
            ["\ud83d\ude00"] = "Emoji: Grinning Face",
            ["\u0080"] = "Control",
            ["\u00f6"] = "Latin Small Letter O With Diaeresis",
        };

        var read = JsonNode.Parse(CanonicalJson.Bytes(names))!.AsObject().Select(member => member.Value!.GetValue<string>());

        Assert.Equal(["Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis", "Euro Sign", "Emoji: Grinning Face", "Hebrew Letter Dalet With Dagesh"], read);
    }

    /// <summary>RFC 8785, 3.2.2.2, from memory: only what must be escaped is; the euro sign and the ö stay as they are.</summary>
    [Fact]
    public void Bytes_Strings_EscapeOnlyWhatTheyMust() => Assert.Equal(
        "\"\u20ac$\\u000f\\nA'B\\\"\\\\\\\\\\\"/ö\"",
        Text(JsonValue.Create("\u20ac$\u000f\nA'B\"\\\\\"/ö")));

    [Theory]
    [InlineData("1.5")]
    [InlineData("1e3")]
    [InlineData("9007199254740992")]
    public void Bytes_NumberThatReadersMaySeeDifferently_Refused(string number)
    {
        var refusal = Assert.Throws<ArgumentException>(() => CanonicalJson.Bytes(JsonNode.Parse(number)));
        Assert.Contains(number, refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Bytes_HalfASurrogatePair_Refused() =>
        Assert.ThrowsAny<ArgumentException>(() => CanonicalJson.Bytes(JsonValue.Create("\ud83d")));

    private static string Text(JsonNode? node) => Encoding.UTF8.GetString(CanonicalJson.Bytes(node));
}
