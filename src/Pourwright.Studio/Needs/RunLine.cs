using Pourwright.Studio.Paper;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Needs;

/// <summary>A piece in its turn on a run sheet.</summary>
/// <param name="Number">Its turn; a dash where it has none.</param>
/// <param name="Time">When its first machine begins.</param>
/// <param name="Label">On its mould.</param>
/// <param name="Maker">Whose it is.</param>
/// <param name="Verdict">What to do at the door.</param>
/// <param name="Why">In words.</param>
/// <param name="Sanding">When it may be sanded, in words.</param>
public sealed record RunLine(string Number, string Time, string Label, string Maker, RunVerdict Verdict, string Why, string Sanding) : DrawnBlock
{
    private const double LeastHeight = 50, WordsTop = 20, TimeLeft = 40, WordsLeft = 114, NameLeft = 246, TickWidth = 48;

    private static readonly PdfPen Words = new(9.5, false, Ink);

    private static double TicksLeft => PdfSheet.Width - 2 * TickWidth - 4;

    public override double FirstHeight(PdfSheet sheet) => Math.Max(LeastHeight, WordsTop + Explanation(sheet).Count * Words.LineHeight + 8);

    public override void Draw(PdfSheet sheet)
    {
        var height = FirstHeight(sheet);
        sheet.Need(height);
        if (Verdict == RunVerdict.Wait) sheet.Fill(AlarmTint, 0, 0, PdfSheet.Width, height - 4);
        sheet.Fill(Colour, 0, 0, 4, height - 4);
        sheet.Write(Number, SheetPens.Number, 10, 6);
        if (HasTime) sheet.Write(Time, SheetPens.Time, TimeLeft, 9);
        else sheet.Write(Time, SheetPens.Strong, TimeLeft, 15);
        sheet.Write(RunSheet.Word(Verdict), SheetPens.Name with { Colour = Colour }, WordsLeft, 0);
        sheet.Write(Fitting(sheet, Name, SheetPens.Strong, TicksLeft - NameLeft - 6), SheetPens.Strong, NameLeft, 3);
        Explain(sheet);
        SheetPens.Blank(sheet, "planed", TicksLeft, 5, TickWidth - 4, 36);
        SheetPens.Blank(sheet, "sanded", TicksLeft + TickWidth + 4, 5, TickWidth - 4, 36);
        sheet.Rule(Rule, height - 4);
        sheet.Skip(height);
    }

    public override IEnumerable<string> Lines(int columns) =>
    [
        $"{Number,3}  {Time,-9}  {RunSheet.Word(Verdict),-11}  {Name}",
        .. ReportText.Wrap($"{Why} {Capital(Sanding)}.", columns - 29).Select(line => new string(' ', 29) + line),
    ];

    private bool HasTime => Time.Contains(':', StringComparison.Ordinal);

    private string Name => $"Piece {Label}{(Maker.Length > 0 ? $", {Maker}" : "")}";

    private string Colour => Verdict switch
    {
        RunVerdict.Go => Accent,
        RunVerdict.CheckFirst => Top,
        _ => Alarm,
    };

    private void Explain(PdfSheet sheet)
    {
        var dy = WordsTop;
        foreach (var line in Explanation(sheet))
        {
            sheet.Write(line, Words, WordsLeft, dy);
            dy += Words.LineHeight;
        }
    }

    private IReadOnlyList<string> Explanation(PdfSheet sheet) => [.. sheet.Wrap($"{Why} {Capital(Sanding)}.", Words, TicksLeft - WordsLeft - 6)];

    // A long name is cut: the label, not the line, finds the piece.
    private static string Fitting(PdfSheet sheet, string text, PdfPen pen, double width)
    {
        if (sheet.Measure(text, pen) <= width) return text;
        var count = Enumerable.Range(1, text.Length).TakeWhile(length => sheet.Measure(text[..length] + "…", pen) <= width).LastOrDefault();
        return text[..count] + "…";
    }

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
