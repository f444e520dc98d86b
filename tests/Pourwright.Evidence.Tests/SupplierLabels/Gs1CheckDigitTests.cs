namespace Pourwright.Evidence.Tests.SupplierLabels;

public sealed class Gs1CheckDigitTests
{
    /// <summary>629104150021: 3·(1+0+5+4+1+2) + (2+0+1+0+9+6) = 39 + 18 = 57, so 3 (a worked example of GS1, from memory).</summary>
    [Theory]
    [InlineData("629104150021", '3')]
    [InlineData("0950600013435", '2')]
    [InlineData("10", '9')]
    [InlineData("0", '0')]
    public void Of_Digits_FillsTheTen(string digits, char check) => Assert.Equal(check, Gs1CheckDigit.Of(digits));

    /// <summary>Every single wrong digit is found: 3 and 1 share no factor with 10.</summary>
    [Fact]
    public void Holds_AnyOneDigitWrong_False()
    {
        const string key = "09506000134352";
        Assert.True(Gs1CheckDigit.Holds(key));
        Assert.DoesNotContain(
            from place in Enumerable.Range(0, key.Length) from digit in "0123456789" where digit != key[place] select key[..place] + digit + key[(place + 1)..],
            wrong => Gs1CheckDigit.Holds(wrong));
    }
}
