using Pourwright.Cli.Kernel;
using Pourwright.Testing;

namespace Pourwright.Journeys.Cli;

/// <summary>A recall and a drill, typed against a real node at night.</summary>
public sealed class RecallTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync(null, "--Node:Roles=api");
        _shell = new(_node.Channel.Target, _node.Clock);
        await SampleStudio.CreateAsync(_node);
        await SampleStudio.ReceiveLotsAsync(_node);
        await _shell.DoAsync("mix record mix-1 --resin deep --draw deep-a1=1kg --draw deep-b1=420g --site north --by Ana");
        foreach (var id in new[] { "7", "8" })
        {
            await _shell.DoAsync($"piece create piece-{id} --label {id} --maker Rui --site north");
            await _shell.DoAsync($"piece pour piece-{id} mix-1 700g 20mm --bench north/shelf --by Ana");
        }
        await _shell.DoAsync("piece step piece-8 hand-over --by Ana");
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Recall_FromStartToClose_SaysWhatComesNext()
    {
        var dry = await _shell.DoAsync("recall start --lot deep-a-lot --reason 'soft pieces' --by ana --dry-run");
        Assert.Contains("DRY RUN", dry, StringComparison.Ordinal);
        Assert.Contains("No recall and no drill.", await _shell.DoAsync("recall list"), StringComparison.Ordinal);

        var started = await _shell.DoAsync("recall start night --lot deep-a-lot --reason 'soft pieces' --by ana");
        foreach (var words in new[] { "OPEN", "HANDED OVER", "HELD", "deep-a1", "CANNOT BE WRITTEN TO", "Next: set the held cans and pieces apart" })
            Assert.Contains(words, started, StringComparison.Ordinal);
        Assert.Contains("HELD: recall night: soft pieces", await _shell.DoAsync("piece ready piece-7"), StringComparison.Ordinal);
        Assert.Equal(ExitCodes.Refused, (await _shell.RunAsync("piece step piece-7 hand-over --by Ana")).Code);

        Assert.Contains("RETURNED soft", await _shell.DoAsync("recall ack night/notice-1 returned --note soft --by ana"), StringComparison.Ordinal);
        Assert.Contains("1 answered", await _shell.DoAsync("recall show night"), StringComparison.Ordinal);
        Assert.Contains("CLOSED", await _shell.DoAsync("recall close night 'all hard' --release --gap 'no telephone number' --by ana"), StringComparison.Ordinal);
        Assert.DoesNotContain("HELD", await _shell.DoAsync("piece ready piece-7"), StringComparison.Ordinal);
        Assert.Contains("RECALL NIGHT", (await _shell.DoAsync("recall print night")).ToUpperInvariant(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Drill_OfALot_SavesItsCertificate()
    {
        var file = Path.Combine(_node.Folder, "certificate.pdf");

        var drill = await _shell.DoAsync($"drill run --lot deep-a-lot --to '{file}' --by ana");

        Assert.Contains("Nobody was told, nothing is held.", drill, StringComparison.Ordinal);
        Assert.Equal("%PDF", System.Text.Encoding.ASCII.GetString(await File.ReadAllBytesAsync(file), 0, 4));
        Assert.DoesNotContain("HELD", await _shell.DoAsync("piece show piece-7"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Sisters_AreHeldAndLetGo()
    {
        await _shell.DoAsync("defect report piece-8 soft --by ana");
        var id = System.Text.RegularExpressions.Regex.Match(await _shell.DoAsync("defect list"), "defect-[a-z0-9]{4}-[a-z0-9]{4}").Value;

        var held = await _shell.DoAsync($"defect hold-sisters {id} --by ana");
        Assert.Contains("HELD. Set it apart and label it.", held, StringComparison.Ordinal);
        Assert.Contains("piece-7", held, StringComparison.Ordinal);
        Assert.Contains("NOTHING NEW TO HOLD", await _shell.DoAsync($"defect hold-sisters {id} --by ana"), StringComparison.Ordinal);
        Assert.Contains("RELEASED", await _shell.DoAsync($"defect release-sisters {id} 'all hard' --by ana"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Defect_AndSeason_ArePrintedAsTextJsonAndPage()
    {
        await _shell.DoAsync("defect report piece-8 soft --by ana");
        var id = System.Text.RegularExpressions.Regex.Match(await _shell.DoAsync("defect list"), "defect-[a-z0-9]{4}-[a-z0-9]{4}").Value;
        var (defect, season) = (Path.Combine(_node.Folder, "defect.pdf"), Path.Combine(_node.Folder, "season.pdf"));

        Assert.Contains("Too little to say: 1 of 1 pieces inspected", await _shell.DoAsync($"defect print {id}"), StringComparison.Ordinal);
        Assert.Contains("\"verdict\"", await _shell.DoAsync($"defect print {id} --json"), StringComparison.Ordinal);
        Assert.Contains("too little cure in 1 of 1 inspected", (await _shell.DoAsync("defect season --from 2026-01-01")).ToLowerInvariant(), StringComparison.Ordinal);
        await _shell.DoAsync($"defect print {id} --pdf '{defect}'");
        await _shell.DoAsync($"defect season --from 2026-01-01 --pdf '{season}'");

        Assert.All([defect, season], file => Assert.Equal(1, PrintedPage.Count(File.ReadAllBytes(file))));
    }

    [Fact]
    public async Task Masses_AreReconciledByTheScaleThatIsStated()
    {
        Assert.Contains("cannot be said: not counted", await _shell.DoAsync("lot reconcile deep-a-lot"), StringComparison.Ordinal);
        await _shell.DoAsync("container weigh deep-a1 18.99kg");
        Assert.Contains("DOES NOT CLOSE: missing", await _shell.DoAsync("lot reconcile deep-a-lot"), StringComparison.Ordinal);

        Assert.Contains("all others", await _shell.DoAsync("site scale --step 5g --site north"), StringComparison.Ordinal);

        var balance = await _shell.DoAsync("lot reconcile deep-a-lot");
        Assert.Contains("+10 g", balance, StringComparison.Ordinal);
        Assert.Contains("CLOSES", balance, StringComparison.Ordinal);
        Assert.DoesNotContain("DOES NOT", balance, StringComparison.Ordinal);
    }
}
