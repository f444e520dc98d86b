namespace Pourwright.Evidence.Counts;

/// <summary>Pieces counted twice over: defective or not, and with what is asked about or without it.</summary>
/// <exception cref="ArgumentOutOfRangeException">A negative count.</exception>
public sealed record TwoByTwo(int DefectiveWith, int FineWith, int DefectiveWithout, int FineWithout)
{
    public int DefectiveWith { get; } = Counted(DefectiveWith);
    public int FineWith { get; } = Counted(FineWith);
    public int DefectiveWithout { get; } = Counted(DefectiveWithout);
    public int FineWithout { get; } = Counted(FineWithout);

    public int With => DefectiveWith + FineWith;
    public int Without => DefectiveWithout + FineWithout;
    public int Defective => DefectiveWith + DefectiveWithout;
    public int Fine => FineWith + FineWithout;
    public int Pieces => With + Without;

    /// <summary>Share of defective pieces with it, less the share without it; a side without pieces counts as a share of 0.</summary>
    public double RateDifference => Rate(DefectiveWith, With) - Rate(DefectiveWithout, Without);

    /// <summary>Neither side nor outcome is empty, so that the table can speak for or against.</summary>
    public bool IsInformative => With > 0 && Without > 0 && Defective > 0 && Fine > 0;

    /// <summary>The same with what is fine in place of what is defective.</summary>
    public TwoByTwo Mirrored => new(FineWith, DefectiveWith, FineWithout, DefectiveWithout);

    private static double Rate(int defective, int pieces) => pieces == 0 ? 0 : (double)defective / pieces;

    private static int Counted(int pieces) => pieces >= 0
        ? pieces
        : throw new ArgumentOutOfRangeException(nameof(pieces), pieces, "A count of pieces is 0 or more.");
}
