using System.Data.Common;
using Pourwright.Evidence.Sealing;
using Pourwright.Studio.Seals;
using Pourwright.Studio.Storage;

namespace Pourwright.Host;

/// <summary>`verify --file studio.db [--seal seal.json]`: compares the evidence in a file, or with `--postgres "Host=..."` in a database, with its chains and seals. No node is needed, and none is started.</summary>
/// <remarks>Exit code 0 where all is as it was recorded, 1 where something is not, 2 where the files cannot be read.</remarks>
public static class VerifyCommand
{
    public static int Run(string[] args, TextWriter output)
    {
        var options = new ConfigurationBuilder().AddCommandLine(args).Build();
        var file = options["postgres"] ?? options["file"] ?? "";
        if (options["postgres"] is null && !File.Exists(file))
            return Unread(output, $"Say which file: verify --file studio.db [--seal seal.json], or --postgres \"Host=...\"; '{file}' is none.");
        try
        {
            return Check(file, options["seal"] is { } seal ? SealJson.Read(File.ReadAllText(seal)) : null, output);
        }
        catch (Exception e) when (e is FormatException or IOException or UnauthorizedAccessException)
        {
            return Unread(output, e.Message);
        }
        catch (DbException e)
        {
            return Unread(output, $"It cannot be read as a studio's store with chains: {e.Message} A file from before there were chains gets them when a node starts on it.");
        }
    }

    private static int Check(string file, Seal? kept, TextWriter output)
    {
        using var store = StoreSettings.At(file);
        using var reads = new StudioReads(store);
        using var reading = reads.Open();
        var faults = 0L;
        foreach (var studio in reading.Query<string>("SELECT name FROM studios ORDER BY name"))
        {
            var check = new EvidenceCheck(reading, studio, kept is not null && kept.IsOf(studio) ? kept : null);
            foreach (var fault in check.Steps().Select(step => step.Fault).OfType<EvidenceFault>()) output.WriteLine(fault.ToText());
            output.WriteLine($"{studio}: {check.Summary().ToText()}");
            faults += check.Summary().FaultCount;
        }
        return faults == 0 ? 0 : 1;
    }

    private static int Unread(TextWriter output, string text)
    {
        output.WriteLine(text);
        return 2;
    }
}
