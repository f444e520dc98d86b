using Google.Api;
using Pourwright.V1;

namespace Pourwright.Cli.Kernel;

/// <summary>Prints a sheet as text or into a PDF file, and a cure into a picture file.</summary>
public static class TraceOutput
{
    public static async Task PrintAsync(Desk desk, string name, string? pdfPath)
    {
        var format = pdfPath is null ? PrintTraceRequest.Types.Format.Text : PrintTraceRequest.Types.Format.Pdf;
        await PrintAsync(desk, await desk.Server.Traces.PrintTraceAsync(new() { Name = name, Format = format }, desk.Call), pdfPath);
    }

    /// <summary>Shows a page of text, or saves one of another kind.</summary>
    public static async Task PrintAsync(Desk desk, HttpBody page, string? path)
    {
        if (path is null)
            desk.Output.Raw(string.Concat(page.Data.ToStringUtf8().Where(c => c is '\n' or '\t' || !char.IsControl(c))));
        else
            await SaveAsync(desk, page.Data.Memory, path);
    }

    /// <exception cref="UsageException">The file's ending names no kind of picture.</exception>
    public static async Task DrawAsync(Desk desk, string name, string path, int widthPx)
    {
        var format = Path.GetExtension(path).ToLowerInvariant() switch
        {
            ".svg" => DrawCureRequest.Types.Format.Svg,
            ".png" => DrawCureRequest.Types.Format.Png,
            _ => throw new UsageException($"'{path}' names no kind of picture: let the file end in .svg or .png."),
        };
        var picture = await desk.Server.Traces.DrawCureAsync(new() { Name = name, Format = format, WidthPx = widthPx }, desk.Call);
        await SaveAsync(desk, picture.Data.Memory, path);
    }

    /// <summary>Asks whether a file may be written there, before something is recorded whose page it is to hold; one that is there stays as it is.</summary>
    /// <exception cref="IOException">It may not.</exception>
    /// <exception cref="UnauthorizedAccessException">Nor for this person.</exception>
    public static void CheckWritable(string path)
    {
        var isNew = !File.Exists(path);
        File.OpenWrite(path).Dispose();
        if (isNew) File.Delete(path);
    }

    /// <summary>Writes a file that came, and says so.</summary>
    public static async Task SaveAsync(Desk desk, ReadOnlyMemory<byte> file, string path)
    {
        await File.WriteAllBytesAsync(path, file, desk.Stop);
        desk.Output.Say($"Wrote {path} ({file.Length / 1024 + 1} KiB).");
    }
}
