using Pourwright.Studio.Calendars;

namespace Pourwright.Studio.Tests.Calendars;

public sealed class CalendarLinkRecordTests
{
    private static readonly CalendarLinkRecord Link = new()
    {
        Name = "studios/alder/calendarLinks/one",
        Studio = "studios/alder",
        Subject = "studios/alder/sites/north",
        DisplayName = "",
        KeySha256 = [],
        CreateMs = 0,
    };

    [Theory]
    [InlineData(null, null, true)]
    [InlineData(1001L, null, true)]
    [InlineData(1000L, null, false)]
    [InlineData(null, 500L, false)]
    public void Link_IsOpen_UntilItExpiresOrIsRevoked(long? expireMs, long? revokeMs, bool isOpen) =>
        Assert.Equal(isOpen, (Link with { ExpireMs = expireMs, RevokeMs = revokeMs }).IsOpen(nowMs: 1000));
}
