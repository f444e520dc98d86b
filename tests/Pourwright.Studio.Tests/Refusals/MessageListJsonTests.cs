using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Refusals;

public sealed class MessageListJsonTests
{
    [Fact]
    public void Cautions_WrittenAndRead_AreTheSameInOrder()
    {
        Caution[] cautions =
        [
            new() { Reason = "DEPTH_OVER_LIMIT", Text = "48 mm, \"deep\" – 40 mm is the limit.", Facts = { ["depth_mm"] = "48" } },
            new() { Reason = "SEVERAL_LOTS" },
        ];

        Assert.Equal(cautions, MessageListJson.Read<Caution>(MessageListJson.Write(cautions)));
        Assert.Empty(MessageListJson.Read<Caution>(MessageListJson.Write<Caution>([])));
    }

    [Fact]
    public void Cautions_OfALaterRelease_AreReadWithoutWhatIsUnknown() => Assert.Equal(
        [new Caution { Reason = "SEVERAL_LOTS" }], MessageListJson.Read<Caution>("""[{ "reason": "SEVERAL_LOTS", "severity": 3 }]"""));
}
