using QRCoder;

namespace Pourwright.Studio.Paper.Labels;

/// <summary>A QR code as rows of dark runs, its quiet zone of four modules included.</summary>
/// <param name="Side">Modules from edge to edge.</param>
public sealed record QrModules(int Side, IReadOnlyList<QrModules.Run> Dark)
{
    /// <summary>Error correction Q mends a quarter of a code: a label in a workshop gets drops and scratches. Common practice, no source.</summary>
    public static QrModules Of(string text)
    {
        using var code = QRCodeGenerator.GenerateQrCode(text, QRCodeGenerator.ECCLevel.Q);
        return new(code.ModuleMatrix.Count, [.. code.ModuleMatrix.SelectMany((row, y) => Runs([.. row.Cast<bool>()], y))]);
    }

    private static IEnumerable<Run> Runs(bool[] row, int y)
    {
        for (var x = 0; x < row.Length; x++)
        {
            var length = row.Skip(x).TakeWhile(dark => dark).Count();
            if (length > 0)
                yield return new(x, y, length);
            x += length;
        }
    }

    /// <summary>So many dark modules side by side.</summary>
    public sealed record Run(int X, int Y, int Length);
}
