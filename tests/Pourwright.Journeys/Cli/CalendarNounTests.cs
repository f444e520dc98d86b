using System.Text.RegularExpressions;
using Pourwright.Cli.Kernel;
using Pourwright.Testing;

namespace Pourwright.Journeys.Cli;

/// <summary>Calendars, typed into the command line against a real node.</summary>
public sealed class CalendarNounTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync(null, "--Node:Roles=api");
        await SampleSeason.CreateAsync(_node.Channel);
        _shell = new(_node.Channel.Target, _node.Clock);
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Link_IsOpenedListedAndRevoked()
    {
        var opened = await _shell.DoAsync("calendar open --instructor ana --name 'Ana at home' --id anas --until 2026-07-01T00:00+02:00");
        var listed = await _shell.DoAsync("calendar list");
        var revoked = await _shell.DoAsync("calendar revoke anas");

        Assert.Matches("/calendars/[0-9a-f]{32}\\.ics", opened);
        Assert.Contains("This address is shown once.", Regex.Replace(opened, "\\s+", " "), StringComparison.Ordinal);
        Assert.Matches("anas +instructor ana +Ana at home .*OPEN until", listed);
        Assert.DoesNotContain("/calendars/", listed, StringComparison.Ordinal);
        Assert.Contains("Revoked", revoked, StringComparison.Ordinal);
        Assert.Contains("REVOKED", await _shell.DoAsync("calendar list"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Invitation_IsWrittenIntoAFile()
    {
        var path = Path.Combine(_node.Folder, "mia.ics");

        var said = await _shell.DoAsync($"calendar invite hof-spring/pour --student mia --to {path}");

        Assert.Contains("method=REQUEST", said, StringComparison.Ordinal);
        Assert.StartsWith("BEGIN:VCALENDAR", await File.ReadAllTextAsync(path), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("calendar open", "one of --site, --instructor and --student")]
    [InlineData("calendar open --site hof --student mia", "one of --site, --instructor and --student")]
    [InlineData("calendar invite hof-spring/pour --to x.ics", "one of --instructor and --student")]
    [InlineData("calendar invite pour --student mia --to x.ics", "write CLASS/SESSION")]
    public async Task Command_WrittenWrongly_EndsWith2(string command, string says)
    {
        var (code, _, error) = await _shell.RunAsync(command);

        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains(says, error, StringComparison.Ordinal);
    }
}
