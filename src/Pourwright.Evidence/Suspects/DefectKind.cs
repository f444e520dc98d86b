namespace Pourwright.Evidence.Suspects;

/// <summary>What is seen of a defective piece, never why.</summary>
public enum DefectKind
{
    Other,
    Soft,
    SoftPatches,
    TackySkin,
    /// <summary>Takes dents weeks later.</summary>
    LowHardness,
    Bubbles,
    /// <summary>Cracks, yellowing or scorch.</summary>
    Cracks,
    Cloudy,
    ColourDrift,
    /// <summary>Resin parts from wood.</summary>
    Delamination,
    LayerSplit,
    Warp,
    Leak,
    Finish,
}
