using System.Text;

namespace Pourwright.Studio.Exports;

/// <summary>Text written once and read once, in a file of this node that only it may read and that is gone afterwards.</summary>
/// <remarks>A receiver may be slow, and a view of the records must not stay open for it; a document may be longer than memory.</remarks>
public sealed class ExportSpool : IDisposable
{
    private const UnixFileMode OwnerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    private readonly FileStream _file;
    private readonly StreamWriter _writer;

    public ExportSpool()
    {
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.ReadWrite, Share = FileShare.None, Options = FileOptions.DeleteOnClose };
        if (!OperatingSystem.IsWindows()) options.UnixCreateMode = OwnerOnly;
        _file = new(Path.Combine(Path.GetTempPath(), $"pourwright-export-{Path.GetRandomFileName()}"), options);
        _writer = new(_file, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false), leaveOpen: true);
    }

    /// <summary>Whether nothing was written yet.</summary>
    public bool IsEmpty { get; private set; } = true;

    public void Write(string text)
    {
        _writer.Write(text);
        IsEmpty = false;
    }

    /// <summary>An item of a JSON list or object: all but the first come after a comma.</summary>
    public void WriteItem(string text)
    {
        if (!IsEmpty) _writer.Write(",\n");
        Write(text);
    }

    /// <summary>What was written, from its beginning.</summary>
    public Stream Read()
    {
        _writer.Flush();
        _file.Position = 0;
        return _file;
    }

    public void Dispose()
    {
        _writer.Dispose();
        _file.Dispose();
    }
}
