using Pourwright.V1;

namespace Pourwright.Cli.Kernel;

/// <summary>Prints a trace as text or into a PDF file.</summary>
public static class TraceOutput
{
    public static async Task PrintAsync(Desk desk, string name, string? pdfPath)
    {
        var format = pdfPath is null ? PrintTraceRequest.Types.Format.Text : PrintTraceRequest.Types.Format.Pdf;
        var page = await desk.Server.Traces.PrintTraceAsync(new() { Name = name, Format = format }, desk.Call);
        if (pdfPath is null)
            desk.Output.Raw(string.Concat(page.Data.ToStringUtf8().Where(c => c is '\n' or '\t' || !char.IsControl(c))));
        else
            await SaveAsync(desk, page.Data.Memory, pdfPath);
    }

    private static async Task SaveAsync(Desk desk, ReadOnlyMemory<byte> pdf, string path)
    {
        await File.WriteAllBytesAsync(path, pdf, desk.Stop);
        desk.Output.Say($"Wrote {path} ({pdf.Length / 1024 + 1} KiB).");
    }
}
