using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Xml.Linq;
using Pourwright.Cli.Kernel;
using Pourwright.Testing;

namespace Pourwright.Journeys.Cli;

/// <summary>A day at the studio, typed into the command line against a real node. The clock stands at Friday 6 February 2026, 09:00.</summary>
public sealed class StudioDayTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private Shell _shell = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync();
        _shell = new(_node.Channel.Target, _node.Clock);
        await TypeAsync("""
            studio create alder --name Alder
            site create north -n 'North Hall' -z Europe/Lisbon -c 'owner=Ines <ines@example.org>'
            bench create north/shelf --planned 21C
            sensor create north/logger --bench shelf --every 10min
            resin create deep -n Deep --parts 42 --tolerance 2 --class deep-casting --max-depth 50mm --refuse-depth --sheet-at 23C --pot-life 40min --pot-life-batch 100g
            lot receive lot-a1 -p a -r deep --code A-2291 --can can-a1=5kg --can can-a2=5kg --expires 2027-05-01
            lot receive lot-b1 -p b -r deep --code B-118 --can can-b1=4kg
            """);
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Batch_InRatio_IsDrawnAndPoured()
    {
        var mix = await _shell.DoAsync("mix record mix-1 -r deep -d can-a1=1.39kg -d can-b1=584g -t 22C --by Ana");
        await _shell.DoAsync("piece create piece-7 -l 7 -m Rui --session 'tomorrow 17:00'");
        var pour = await _shell.DoAsync("piece pour piece-7 mix-1 1.2kg 40mm --bench north/shelf --by Ana");
        var rest = await _shell.DoAsync("mix show mix-1");

        Assert.Contains("RATIO OK", mix, StringComparison.Ordinal);
        // The pot life of 40 minutes counts from 09:00, in Lisbon in winter UTC itself.
        Assert.Contains("Fri 6 Feb 09:40 (in 40 min)", mix, StringComparison.Ordinal);
        Assert.Contains("POURED: layer 1 of piece piece-7", pour, StringComparison.Ordinal);
        // 1390 + 584 - 1200 = 774 g.
        Assert.Contains("774 g", rest, StringComparison.Ordinal);
        // 5 - 1.39 = 3.61 kg.
        Assert.Contains("3.61 kg", await _shell.DoAsync("container show can-a1"), StringComparison.Ordinal);
        Assert.Contains("Sat 7 Feb 17:00 (in 1 d 8 h)", await _shell.DoAsync("piece show piece-7"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Batch_OffRatio_IsRefusedLargeAndClearAndDrawsNothing()
    {
        var before = await _shell.DoAsync("container list");

        // 640 g on 1390 g are 46.04 parts where 42 are right: 9.6 % too much.
        var (code, output, error) = await _shell.RunAsync("mix record -r deep -d can-a1=1.39kg -d can-b1=640g --by Ana");

        Assert.Equal(ExitCodes.Refused, code);
        Assert.Contains("RATIO OFF", output, StringComparison.Ordinal);
        Assert.Contains("9.6", error, StringComparison.Ordinal);
        Assert.Contains("RATIO_OUT_OF_TOLERANCE", error, StringComparison.Ordinal);
        Assert.Equal(before, await _shell.DoAsync("container list"));
    }

    [Fact]
    public async Task Batch_CheckedFirst_DrawsNothing()
    {
        var before = await _shell.DoAsync("container list");

        var answer = await _shell.DoAsync("mix record -r deep -d can-a1=1.39kg -d can-b1=584g --by Ana --check");

        Assert.Contains("Checked only, nothing was drawn", answer, StringComparison.Ordinal);
        Assert.Contains("RATIO OK", answer, StringComparison.Ordinal);
        Assert.Equal(before, await _shell.DoAsync("container list"));
        Assert.Contains("No mix yet.", await _shell.DoAsync("mix list"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Batch_TypedTwiceWithTheSameRequestId_IsDrawnOnce()
    {
        const string Record = "mix record mix-1 -r deep -d can-a1=1kg -d can-b1=420g --by Ana --request-id 7f1f6a52-95a4-4b42-8f53-9a3f3a4f9d11";

        Assert.Equal(await _shell.DoAsync(Record), await _shell.DoAsync(Record));
        Assert.Contains("4 kg", await _shell.DoAsync("container show can-a1"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Resin_FromItsDataSheet_TellsWhatEachFigureTaught()
    {
        var created = await _shell.DoAsync("resin create river -n River --parts 42 --tolerance 2 --class deep-casting --max-depth 45mm "
            + "--a-density 1150 --b-density 960 --other-parts 50 --sheet 3 --sheet-at 22C --pot-life 6h --pot-life-batch 1.5kg --pot-life-vessel tray "
            + "--gel 28h --further-gel 16h@30C --demold 36h --demold-depth 40mm --demold-at 21C --full-cure 120h --peak 38C --peak-depth 40mm --max-depth-at 22C");
        var calibration = await _shell.DoAsync("resin calibration river");

        Assert.Contains("6 h, 1.5 kg in a tray, 22.0 °C", created, StringComparison.Ordinal);
        Assert.Contains("1 d 12 h, 40 mm, 21.0 °C", created, StringComparison.Ordinal);
        Assert.Contains("100 A : 50 B by volume", created, StringComparison.Ordinal);
        Assert.Contains("pourwright resin calibration river", created, StringComparison.Ordinal);
        // Pot life, two gel times, demold, full cure, peak and deepest pour.
        Assert.Contains("deep-casting-1 fitted to data sheet 3 of river (7 figures)", calibration, StringComparison.Ordinal);
        Assert.Matches(@"Demold time of 40 mm at 21 °C\s+36 h", calibration);
        Assert.Matches(@"Activation energy E2 .* still prior", calibration);
        // 50 · 960/1150 = 41.74, 0.6 % from 42.
        Assert.Contains("AGREES: printed 100 : 42, by volume and densities 100 : 41.74", calibration, StringComparison.Ordinal);
        Assert.Contains("Times of a thin piece may be off by a factor of 1.", calibration, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Resin_WhoseSheetContradictsItself_IsRefusedWithBothFigures()
    {
        var (code, _, error) = await _shell.RunAsync(
            "resin create odd -n Odd --parts 42 --tolerance 2 --class deep-casting --sheet-at 20C --gel 20h --demold 4h --demold-depth 5mm");

        Assert.Equal(ExitCodes.Refused, code);
        Assert.Contains("DATA_SHEET_CONTRADICTORY", error, StringComparison.Ordinal);
        Assert.Contains("Gel time of a thin film at 20 °C is printed as 20 h", error, StringComparison.Ordinal);
        Assert.Contains("Demold time of 5 mm at 20 °C is printed as 4 h", error, StringComparison.Ordinal);
        Assert.DoesNotContain("odd", await _shell.DoAsync("resin list"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Container_FromALabelReaderInCapitals_IsHeldAndReleased()
    {
        Assert.Contains("HELD", await _shell.DoAsync("container hold CAN-A2 'label unreadable'"), StringComparison.Ordinal);
        Assert.Contains("SEALED", await _shell.DoAsync("container release CAN-A2 'label found'"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Readings_OfAFile_AreAddedOnceHoweverOftenItIsSent()
    {
        // 1,200 readings ten minutes apart, in batches of 500: three.
        var file = Written(index => 18 + index % 50 * 0.1);

        Assert.Contains("1200 readings added, 0 were there already (3 batches)", await _shell.DoAsync($"reading import north/logger {file}"), StringComparison.Ordinal);
        Assert.Contains("0 readings added, 1200 were there already", await _shell.DoAsync($"reading import north/logger {file}"), StringComparison.Ordinal);
        // 24 h hold 144 intervals of ten minutes; the reading of a day ago counts, that of 09:00 is the last.
        var day = await _shell.DoAsync("reading list north/logger");
        Assert.Equal(1 + 144 + 1, day.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);
        Assert.Contains("Fri 6 Feb 09:00 (now)", await _shell.DoAsync("reading now north/shelf"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Readings_ThatDisagreeWithEarlierOnes_AreRefused()
    {
        await _shell.DoAsync($"reading import north/logger {Written(_ => 20)}");

        var (code, _, error) = await _shell.RunAsync($"reading import north/logger {Written(_ => 21)}");

        Assert.Equal(ExitCodes.Refused, code);
        Assert.Contains("READING_CONFLICT", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Outlook_OfAFile_IsSaidShownAndTakenBack()
    {
        Assert.Contains("nothing is said", await _shell.DoAsync("bench outlook north/shelf"), StringComparison.Ordinal);
        var file = Path.GetTempFileName();
        await File.WriteAllTextAsync(file, "time,temperature_celsius\n2026-02-06 06:00,21\n2026-02-06 18:00,15.5\n");

        var said = await _shell.DoAsync($"bench outlook north/shelf --heating {file}");
        File.Delete(file);

        Assert.Contains("set points of its heating", said, StringComparison.Ordinal);
        Assert.Contains("Fri 6 Feb 18:00", said, StringComparison.Ordinal);
        Assert.Contains("15.5", await _shell.DoAsync("bench outlook north/shelf"), StringComparison.Ordinal);
        Assert.Contains("nothing is said", await _shell.DoAsync("bench outlook north/shelf --none"), StringComparison.Ordinal);
        var (code, _, error) = await _shell.RunAsync("bench outlook north/shelf --none --outdoor weather.csv");
        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains("One of --heating, --outdoor and --none", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Piece_FromPourToHandOver_IsReadyOnlyAfterForecastAndTouchTest()
    {
        await TypeAsync("""
            mix record mix-1 -r deep -d can-a1=1kg -d can-b1=420g -t 22C --by Ana
            piece create piece-7 -l 7 -m Rui
            piece pour piece-7 mix-1 all 20mm --bench north/shelf --by Ana
            """);
        await _node.SettleAsync();
        Assert.Contains("CURING until", await _shell.DoAsync("piece ready"), StringComparison.Ordinal);
        Assert.Contains("CAUTION", await _shell.DoAsync("piece step piece-7 demold --check --by Ana"), StringComparison.Ordinal);

        await _node.AdvanceAsync(TimeSpan.FromDays(7));
        var due = await _shell.DoAsync("piece ready");
        Assert.Contains("CHECK DUE: test by touch first", due, StringComparison.Ordinal);
        Assert.DoesNotContain("CURING", due, StringComparison.Ordinal);

        Assert.Contains("CONTRADICTED", await _shell.DoAsync("piece check piece-7 soft --by Ana"), StringComparison.Ordinal);
        await _node.AdvanceAsync(TimeSpan.FromHours(1));
        var firm = await _shell.DoAsync("piece check piece-7 firm --by Ana");
        Assert.Contains("READY", firm, StringComparison.Ordinal);
        Assert.DoesNotContain("CONTRADICTED", firm, StringComparison.Ordinal);

        await _shell.DoAsync("piece step piece-7 demold --by Ana");
        Assert.Contains("DEMOLDED", await _shell.DoAsync("piece ready"), StringComparison.Ordinal);
        await _shell.DoAsync("piece step piece-7 hand-over --by Ana");
        Assert.Contains("Nothing poured is in the house.", await _shell.DoAsync("piece ready"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Trace_OfAPiece_IsTextAPdfFileOrJson()
    {
        await TypeAsync("""
            mix record mix-1 -r deep -d can-a1=1kg -d can-b1=420g --by Ana
            piece create piece-7 -l 7
            piece pour piece-7 mix-1 all 20mm --bench north/shelf --by Ana
            """);
        var pdf = Path.Combine(_node.Folder, "piece-7.pdf");

        Assert.Contains("A-2291", await _shell.DoAsync("piece trace piece-7"), StringComparison.Ordinal);
        Assert.Contains("piece-7.pdf", await _shell.DoAsync($"piece trace piece-7 --pdf {pdf}"), StringComparison.Ordinal);
        Assert.Equal("%PDF", Encoding.ASCII.GetString(File.ReadAllBytes(pdf)[..4]));
        var json = JsonDocument.Parse(await _shell.DoAsync("piece trace piece-7 --json")).RootElement;
        Assert.Equal("studios/alder/lots/lot-a1", json.GetProperty("pours")[0].GetProperty("draws")[0].GetProperty("lots")[0].GetProperty("name").GetString());
    }

    [Fact]
    public async Task Picture_OfAPiece_IsOfTheKindThatItsFileEndsIn()
    {
        await TypeAsync("""
            mix record mix-1 -r deep -d can-a1=1kg -d can-b1=420g --by Ana
            piece create piece-7 -l 7
            piece pour piece-7 mix-1 all 20mm --bench north/shelf --by Ana
            """);
        await _node.SettleAsync();
        var (svg, png) = (Path.Combine(_node.Folder, "piece-7.svg"), Path.Combine(_node.Folder, "piece-7.PNG"));

        Assert.Contains("piece-7.svg", await _shell.DoAsync($"piece picture piece-7 --to {svg} --width 800"), StringComparison.Ordinal);
        await _shell.DoAsync($"piece picture piece-7 --to {png}");
        Assert.Equal("800", XDocument.Load(svg).Root!.Attribute("width")!.Value);
        Assert.Equal("PNG", Encoding.ASCII.GetString(File.ReadAllBytes(png)[1..4]));

        var (code, _, error) = await _shell.RunAsync("piece picture piece-7 --to piece-7.gif");
        Assert.Equal(ExitCodes.Usage, code);
        Assert.Contains(".svg or .png", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Labels_OfACanAndAPiece_AreWrittenIntoAPdf()
    {
        await TypeAsync("piece create piece-7 -l 7");
        var file = Path.Combine(_node.Folder, "labels.pdf");

        Assert.Contains("labels.pdf", await _shell.DoAsync($"label print --container can-a1 --container can-b1 --piece piece-7 --to {file}"), StringComparison.Ordinal);
        Assert.Equal("%PDF", Encoding.ASCII.GetString(File.ReadAllBytes(file)[..4]));

        var (code, _, error) = await _shell.RunAsync($"label print --piece nowhere --to {file}");
        Assert.Equal(ExitCodes.Refused, code);
        Assert.Contains("nowhere", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Reminder_TakenInHand_IsOpenNoMore()
    {
        await TypeAsync("""
            mix record mix-1 -r deep -d can-a1=1kg -d can-b1=420g --by Ana
            piece create piece-7 -l 7 --session 'tomorrow 09:00'
            piece pour piece-7 mix-1 all 20mm --bench north/shelf --by Ana
            """);
        await _node.SettleAsync();
        // Twenty millimetres at 21 °C take days: tomorrow is too early, and somebody is told so.
        var open = await _shell.DoAsync("reminder list");
        Assert.Contains("at risk", open, StringComparison.Ordinal);

        var reminder = open.Split('\n').TakeWhile(line => !line.Contains("at risk", StringComparison.Ordinal)).Last().Trim().Split(' ')[^1];
        Assert.Contains("IN HAND: Ines", await _shell.DoAsync($"reminder ack {reminder} --by Ines"), StringComparison.Ordinal);
        Assert.DoesNotContain("at risk", await _shell.DoAsync("reminder list"), StringComparison.Ordinal);
    }

    private async Task TypeAsync(string commands)
    {
        foreach (var command in commands.Split('\n'))
            await _shell.DoAsync(command);
    }

    /// <summary>1,200 readings, the last one at 09:00.</summary>
    private string Written(Func<int, double> celsius)
    {
        var text = new StringBuilder("time,temperature_celsius,relative_humidity_percent\n");
        for (var index = 0; index < 1_200; index++)
            text.AppendLine(CultureInfo.InvariantCulture, $"{StudioHarness.Start.AddMinutes(10 * (index - 1_199)):yyyy-MM-ddTHH:mm:ssZ},{celsius(index):0.0},50");
        var path = Path.Combine(_node.Folder, $"{Guid.NewGuid():N}.csv");
        File.WriteAllText(path, text.ToString());
        return path;
    }
}
