namespace Pourwright.Studio.Pieces;

/// <summary>A piece has a new pour: its forecast is made at once.</summary>
public sealed record PourRecorded(string Piece, string Pour);

/// <summary>A piece has other pours than it was recorded to have: it is forecast anew.</summary>
public sealed record PieceCorrected(string Piece);

/// <summary>A piece was carried to another bench: its room is another one from now on.</summary>
public sealed record PieceMoved(string Piece, string Bench);

/// <summary>Somebody looked at a piece: what was announced may be contradicted.</summary>
public sealed record CheckRecorded(string Piece, string Check);

/// <summary>A piece has left its mould: somebody found it ready.</summary>
public sealed record PieceDemolded(string Piece, string Step);

/// <summary>Something was done to a piece: what was announced for it may be settled.</summary>
public sealed record StepRecorded(string Piece, string Step);
