using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>A row of `pieces`. State and bench follow from its pours and steps, holds are rows of their own; the rest stays as it was created.</summary>
public sealed record PieceRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string Site { get; init; }
    public required string Label { get; init; }
    public string Maker { get; init; } = "";

    /// <summary>A class by name, or the studio's own words.</summary>
    public string CastingClass { get; init; } = "";

    /// <summary>What people call the class; empty where it is no class by name.</summary>
    public string CastingClassDisplayName { get; init; } = "";
    public string Mould { get; init; } = "";
    public string WoodSpecies { get; init; } = "";
    public double? WoodMoisturePercent { get; init; }

    /// <summary>Of the resin between walls of wood, in mm; null without.</summary>
    public double? ChannelWidthMm { get; init; }
    public long? PlannedSessionMs { get; init; }
    public required Piece.Types.State State { get; init; }
    public string? Bench { get; init; }

    /// <summary>Why it is held, by the oldest hold that stands; null where none does. No column of `pieces`: read from `piece_holds`.</summary>
    public string? HoldReason { get; init; }

    /// <summary>Given when it is saved, and not read again: see <see cref="SealedText"/>.</summary>
    public string? SealSalt { get; init; }

    public string? MakerSeal => SealSalt is { } salt ? SealedText.SealOf(salt, "maker", Maker) : null;

    public bool IsHeld => HoldReason is not null;

    public Piece ToProto()
    {
        var piece = new Piece
        {
            Name = Name,
            Site = Site,
            Label = Label,
            Maker = Maker,
            CastingClass = CastingClass,
            CastingClassDisplayName = CastingClassDisplayName,
            Mould = Mould,
            WoodSpecies = WoodSpecies,
            PlannedSessionTime = Instants.ToTimestamp(PlannedSessionMs),
            State = State,
            Bench = Bench ?? "",
            Held = IsHeld,
            HoldReason = HoldReason ?? "",
        };
        if (WoodMoisturePercent is { } percent) piece.WoodMoisturePercent = percent;
        if (ChannelWidthMm is { } width) piece.ChannelWidthMm = width;
        return piece;
    }
}
