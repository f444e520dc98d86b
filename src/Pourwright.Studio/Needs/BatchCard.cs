using System.Globalization;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.V1;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Needs;

/// <summary>One batch of a mix sheet: what to weigh from which container, and boxes for what was weighed.</summary>
/// <param name="Title">"Batch 2 of 4".</param>
/// <param name="For">"pieces 3–4, layer 1".</param>
/// <param name="Time">"pour within 42 min"; empty where nobody can say.</param>
/// <param name="Batch">What is mixed.</param>
/// <param name="Band">How much B that much A allows.</param>
/// <param name="Takes">From which containers; empty where none was chosen.</param>
/// <param name="Codes">What the supplier printed on the cans, by the lot's name.</param>
public sealed record BatchCard(
    string Title, string For, string Time, ResinBatch Batch, RatioBand Band, IReadOnlyList<BatchTake> Takes,
    IReadOnlyDictionary<string, string> Codes) : DrawnBlock
{
    // Three cards stand on the first sheet under its head.
    private const double Head = 24, PigmentRow = 30, FieldRow = 31, LineStep = 15, LeastRow = 42, Below = 8;
    private const double BoxWidth = 118, MassLeft = 34, TakesLeft = 196;

    /// <summary>What a scale of one gram shows: whole grams from 500 g on, tenths below, where they are more than a thousandth.</summary>
    public static string Grams(long massMg) => massMg >= 500_000
        ? (massMg / 1000m).ToString("#,##0 g", CultureInfo.InvariantCulture)
        : (massMg / 1000m).ToString("0.0 g", CultureInfo.InvariantCulture);

    /// <summary>"572 to 594 g", rounded to what the scale shows, never outwards.</summary>
    public string BandWords()
    {
        var stepMg = Batch.Parts.BMassMg >= 500_000 ? 1000 : 100;
        return $"{Grams((Band.LeastMg + stepMg - 1) / stepMg * stepMg)} to {Grams(Band.MostMg / stepMg * stepMg)}";
    }

    public override double FirstHeight(PdfSheet sheet) => Height;

    public override void Draw(PdfSheet sheet)
    {
        sheet.Need(Height);
        sheet.Fill(Accent, 0, 0, PdfSheet.Width, Head);
        sheet.Write(Title, SheetPens.Band, 8, 4);
        sheet.Write(For, SheetPens.BandLine, 120, 5);
        sheet.Write(Time, SheetPens.BandLine, 0, 5, PdfSheet.Width - 8, onTheRight: true);
        sheet.Skip(Head);
        Row(sheet, Part.A, Batch.Parts.AMassMg, "");
        sheet.Rule(Rule);
        Row(sheet, Part.B, Batch.Parts.BMassMg, BandWords());
        sheet.Rule(Rule);
        Pigment(sheet);
        Fields(sheet);
        sheet.Skip(Below);
    }

    public override IEnumerable<string> Lines(int columns) =>
    [
        $"{Title.ToUpperInvariant()}  {For}{(Time.Length > 0 ? $"  {Time}" : "")}",
        .. PartLines(Part.A, Batch.Parts.AMassMg, ""),
        .. PartLines(Part.B, Batch.Parts.BMassMg, $"  ({BandWords()})"),
        "  Pigment  ______________ g  code ______________",
        "  Start __________  Stop __________  °C ________  Mixer ______________  Scale ______________",
    ];

    private double Height => Head + RowHeight(Part.A, "") + RowHeight(Part.B, "band") + PigmentRow + FieldRow + Below;

    private IReadOnlyList<BatchTake> Of(Part part) => [.. Takes.Where(take => take.Draw.Part == part)];

    private double RowHeight(Part part, string band) =>
        Math.Max(LeastRow + (band.Length > 0 ? 12 : 0), 10 + Math.Max(1, Of(part).Count) * 2 * LineStep);

    private void Row(PdfSheet sheet, Part part, long massMg, string band)
    {
        var (height, dy) = (RowHeight(part, band), 4.0);
        sheet.Write($"{part}", SheetPens.Number, 6, dy);
        sheet.Write(Grams(massMg), SheetPens.Mass, MassLeft, dy + 1);
        if (band.Length > 0) sheet.Write(band, SheetPens.Strong, MassLeft, dy + 32);
        foreach (var (name, lots) in Containers(part))
        {
            sheet.Write(name, SheetPens.Strong, TakesLeft, dy);
            sheet.Write(lots, SheetPens.Hint, TakesLeft, dy + LineStep - 1);
            dy += 2 * LineStep;
        }
        SheetPens.Blank(sheet, $"{part} weighed, g", PdfSheet.Width - BoxWidth, 4, BoxWidth, 34);
        sheet.Skip(height);
    }

    private IEnumerable<(string Name, string Lots)> Containers(Part part)
    {
        var takes = Of(part);
        if (takes.Count == 0) return [("container ______________", "lot ______________")];
        return takes.Select(take => (
            takes.Count > 1 ? $"{ResourceNames.IdOf(take.Draw.Container)}: {Grams(take.MassMg)}" : ResourceNames.IdOf(take.Draw.Container),
            $"lot {string.Join(" + ", take.Draw.Lots.Select(Code))}"));
    }

    private IEnumerable<string> PartLines(Part part, long massMg, string band)
    {
        var weigh = $"  {part}  {Grams(massMg),10}{band}  weighed __________ g";
        return Containers(part).Select(container => $"     {container.Name}, {container.Lots}").Prepend(weigh);
    }

    private string Code(string lot) => Codes.GetValueOrDefault(lot) is { Length: > 0 } code ? code : ResourceNames.IdOf(lot);

    private static void Pigment(PdfSheet sheet)
    {
        sheet.Write("Pigment", SheetPens.Strong, 8, 8);
        SheetPens.Blank(sheet, "code and lot", TakesLeft, 3, PdfSheet.Width - BoxWidth - TakesLeft - 8, 25);
        SheetPens.Blank(sheet, "pigment weighed, g", PdfSheet.Width - BoxWidth, 3, BoxWidth, 25);
        sheet.Skip(PigmentRow);
    }

    private static void Fields(PdfSheet sheet)
    {
        const double gap = 6;
        string[] fields = ["stirred from", "until", "mix, °C", "mixed by", "scale"];
        var width = (PdfSheet.Width - gap * (fields.Length - 1)) / fields.Length;
        for (var i = 0; i < fields.Length; i++) SheetPens.Blank(sheet, fields[i], i * (width + gap), 2, width, 26);
        sheet.Skip(FieldRow);
    }
}
