using Pourwright.V1;

namespace Pourwright.Pages.Pieces;

/// <summary>All that the page of a piece shows.</summary>
/// <param name="Forecast">The newest; null before the first.</param>
/// <param name="Answer">Of the change that was asked about; null where none was.</param>
/// <param name="Asked">That change, as the form shows it again.</param>
public sealed record PieceView(
    Piece Piece, TimeZoneInfo Zone, PieceReadiness Readiness, Forecast? Forecast, IReadOnlyList<Pour> Pours, IReadOnlyList<Check> Checks,
    IReadOnlyList<Step> Steps, WhatIfAnswer? Answer, AskedChange Asked);

/// <summary>A change that somebody thinks of.</summary>
/// <param name="HoldCelsius">Hold the room at this from now on.</param>
/// <param name="MoveHours">Move the session by this, later or (negative) sooner.</param>
/// <param name="Least">Find the smallest warming that makes the session safe.</param>
public sealed record AskedChange(double? HoldCelsius, double? MoveHours, bool Least)
{
    public bool IsAny => HoldCelsius is not null || MoveHours is not null || Least;
}
