using PdfSharp.Drawing;

namespace Pourwright.Studio.Paper;

/// <summary>The few colours of print. None carries a meaning alone: a grey copy says the same.</summary>
public static class PaperColours
{
    public const string Ink = "#1F2933";
    public const string Quiet = "#5F6C7A";
    public const string Rule = "#D3D9E0";
    public const string Stripe = "#F4F6F8";
    public const string Accent = "#0B6170";
    public const string AccentTint = "#EAF3F5";
    public const string Alarm = "#A8281E";
    public const string AlarmTint = "#FBEDEB";
    public const string Room = "#2F6FAF";
    public const string Base = "#7A3B10";
    public const string Middle = "#C25B12";
    public const string Top = "#A8761B";
    public const string White = "#FFFFFF";

    public static XColor OnPaper(string colour) => XColor.FromArgb(Convert.ToInt32(colour[1..], 16) | unchecked((int)0xFF000000));

    public static ScottPlot.Color InChart(string colour) => ScottPlot.Color.FromHex(colour);
}
