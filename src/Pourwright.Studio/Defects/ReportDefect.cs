using System.Text.Json;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Defects;

/// <summary>What is wrong with a piece, as seen; never why.</summary>
public static class ReportDefect
{
    private const int PhotosMax = 20, PhotoUriLengthMax = 2000, NoteLengthMax = 2000;

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(ReportDefectRequest request)
    {
        var defect = request.Defect ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("defect_id", request.DefectId)
            .Name("defect.piece", defect.Piece, ResourceKind.Piece, request.Parent)
            .Require(defect.Kind is > Defect.Types.Kind.Unspecified and <= Defect.Types.Kind.Other, "defect.kind",
                "must say what is seen.", $"{(int)defect.Kind}")
            .Text("defect.finder", defect.Finder, 80)
            .Require(defect.Note.Length <= NoteLengthMax && !defect.Note.Any(IsControl), "defect.note",
                $"must be up to {NoteLengthMax} characters long, without control characters but line ends.")
            .Require(defect.Kind != Defect.Types.Kind.Other || !string.IsNullOrWhiteSpace(defect.Note), "defect.note",
                "must say what is seen where the kind is other.")
            .OptionalTime("defect.find_time", defect.FindTime)
            .Require(defect.PhotoUris.Count <= PhotosMax, "defect.photo_uris", $"must be up to {PhotosMax}.", $"{defect.PhotoUris.Count}");
        for (var i = 0; i < Math.Min(defect.PhotoUris.Count, PhotosMax); i++)
            checks.Require(IsAddress(defect.PhotoUris[i]), $"defect.photo_uris[{i}]",
                $"must be an absolute https, http or file address of up to {PhotoUriLengthMax} characters.");
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">TIME_IN_FUTURE.</exception>
    public static DefectRecord Decide(string name, Defect defect, long nowMs) => new()
    {
        Name = name,
        Studio = ResourceNames.StudioOf(name),
        Piece = defect.Piece,
        Kind = defect.Kind,
        FindMs = EventTime.OrNow(defect.FindTime, nowMs, "defect.find_time"),
        Finder = defect.Finder,
        Note = defect.Note,
        PhotoUris = JsonSerializer.Serialize(defect.PhotoUris.AsEnumerable()),
    };

    /// <summary>A page shows these as links: only what a browser opens without running it.</summary>
    private static bool IsAddress(string text) =>
        text.Length <= PhotoUriLengthMax && Uri.TryCreate(text, UriKind.Absolute, out var uri) && uri.Scheme is ("https" or "http" or "file");

    private static bool IsControl(char c) => char.IsControl(c) && c is not ('\n' or '\r' or '\t');
}
