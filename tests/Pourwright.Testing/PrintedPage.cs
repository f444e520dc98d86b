using System.ComponentModel;
using System.Diagnostics;
using PdfSharp.Pdf.IO;

namespace Pourwright.Testing;

/// <summary>A printed document read back.</summary>
public static class PrintedPage
{
    public static int Count(byte[] pdf)
    {
        using var document = PdfReader.Open(new MemoryStream(pdf), PdfDocumentOpenMode.Import);
        return document.PageCount;
    }

    /// <summary>What a reader would copy out of it, by another program; null where pdftotext is not installed.</summary>
    public static string? Text(byte[] pdf)
    {
        var file = Path.GetTempFileName();
        try
        {
            File.WriteAllBytes(file, pdf);
            using var reader = Process.Start(new ProcessStartInfo("pdftotext", ["-layout", file, "-"]) { RedirectStandardOutput = true })!;
            var text = reader.StandardOutput.ReadToEnd();
            reader.WaitForExit();
            return text;
        }
        catch (Win32Exception)
        {
            return null;
        }
        finally
        {
            File.Delete(file);
        }
    }
}
