using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Tests.Refusals;

public sealed class FieldChecksTests
{
    [Fact]
    public void ThrowIfAny_NothingWrong_Passes() =>
        new FieldChecks().Text("mixer", "Ada", 80).Mass("mass_mg", 1).Percent("humidity", 100).Celsius("temperature", 21.5)
            .Name("lot", "studios/elm/lots/a-1", ResourceKind.Lot, "studios/elm").NewId("mix_id", "").Time("pour_time", new Timestamp())
            .ThrowIfAny();

    [Fact]
    public void ThrowIfAny_SeveralWrong_NamesThemAllInOrder()
    {
        var refusal = Assert.Throws<Refusal>(() => new FieldChecks()
            .Text("mixer", "", 80).Mass("mass_mg", 0).Percent("humidity", 50).NewId("mix_id", "M").ThrowIfAny());
        Assert.Equal(["mixer", "mass_mg", "mix_id"], refusal.Fields.Select(f => f.Field));
        Assert.Equal(Reasons.FieldInvalid, refusal.Reason);
    }

    // Limits are included; NaN and infinities never pass.
    [Theory]
    [InlineData(0, true)]
    [InlineData(100, true)]
    [InlineData(-0.001, false)]
    [InlineData(100.001, false)]
    [InlineData(double.NaN, false)]
    [InlineData(double.PositiveInfinity, false)]
    public void Percent_Value_IsWithin0To100(double percent, bool ok) => AssertVerdict(ok, c => c.Percent("p", percent));

    [Theory]
    [InlineData(-40, true)]
    [InlineData(60, true)]
    [InlineData(60.1, false)]
    [InlineData(-40.1, false)]
    [InlineData(double.NaN, false)]
    public void Celsius_Value_IsThatOfARoom(double celsius, bool ok) => AssertVerdict(ok, c => c.Celsius("t", celsius));

    [Theory]
    [InlineData(1, true)]
    [InlineData(1_000_000_000, true)]
    [InlineData(0, false)]
    [InlineData(-1, false)]
    [InlineData(1_000_000_001, false)]
    [InlineData(long.MinValue, false)]
    public void Mass_Value_IsWithinLimits(long massMg, bool ok) => AssertVerdict(ok, c => c.Mass("m", massMg));

    [Theory]
    [InlineData("a", true)]
    [InlineData("abcde", true)]
    [InlineData("", false)]
    [InlineData("abcdef", false)]
    [InlineData("a\nb", false)]
    [InlineData("a\0b", false)]
    public void Text_Value_HasItsLengthAndNoControls(string text, bool ok) => AssertVerdict(ok, c => c.Text("t", text, lengthMax: 5));

    [Theory]
    [InlineData("studios/elm/lots/a-1", true)]
    [InlineData("studios/oak/lots/a-1", false)]
    [InlineData("studios/elm/mixes/a-1", false)]
    [InlineData("", false)]
    public void Name_Value_IsOfItsKindAndParent(string name, bool ok) =>
        AssertVerdict(ok, c => c.Name("lot", name, ResourceKind.Lot, "studios/elm"));

    // The range of google.protobuf.Timestamp: 0001-01-01 to the end of 9999.
    [Theory]
    [InlineData(-62_135_596_800, 0, true)]
    [InlineData(253_402_300_799, 999_999_999, true)]
    [InlineData(-62_135_596_801, 0, false)]
    [InlineData(253_402_300_800, 0, false)]
    [InlineData(0, -1, false)]
    [InlineData(0, 1_000_000_000, false)]
    public void Time_Value_IsAnInstant(long seconds, int nanos, bool ok) =>
        AssertVerdict(ok, c => c.Time("t", new Timestamp { Seconds = seconds, Nanos = nanos }));

    [Fact]
    public void Time_Unset_IsRefused() => AssertVerdict(false, c => c.Time("t", null));

    [Fact]
    public void Text_VeryLong_IsNotSentBackWhole()
    {
        var refusal = Assert.Throws<Refusal>(() => new FieldChecks().Text("t", new string('x', 100_000), 5).ThrowIfAny());
        Assert.True(refusal.Message.Length < 200);
    }

    private static void AssertVerdict(bool ok, Action<FieldChecks> check)
    {
        var checks = new FieldChecks();
        check(checks);
        Assert.Equal(ok, Record.Exception(checks.ThrowIfAny) is null);
    }
}
