namespace Pourwright.Cure.DataSheets;

/// <summary>A small symmetric positive definite matrix, factorised once: A = L Lᵀ.</summary>
internal sealed class SymmetricSystem
{
    private readonly double[][] lower;

    /// <param name="size">Rows.</param>
    /// <param name="element">Element of row and column, read on and below the diagonal.</param>
    public SymmetricSystem(int size, Func<int, int, double> element)
    {
        lower = [.. Enumerable.Range(0, size).Select(row => new double[row + 1])];
        for (var row = 0; row < size; row++)
            for (var column = 0; column <= row; column++)
            {
                var left = element(row, column);
                for (var k = 0; k < column; k++)
                    left -= lower[row][k] * lower[column][k];
                lower[row][column] = column == row ? Math.Sqrt(left) : left / lower[column][column];
            }
    }

    /// <summary>bᵀ A⁻¹ b, as the square of L⁻¹ b.</summary>
    public double InverseForm(double[] b) => Forward(b).Sum(x => x * x);

    /// <summary>A⁻¹ b.</summary>
    public double[] Solve(double[] b)
    {
        var x = Forward(b);
        for (var row = x.Length - 1; row >= 0; row--)
        {
            for (var below = row + 1; below < x.Length; below++)
                x[row] -= lower[below][row] * x[below];
            x[row] /= lower[row][row];
        }
        return x;
    }

    private double[] Forward(double[] b)
    {
        var x = new double[b.Length];
        for (var row = 0; row < b.Length; row++)
        {
            x[row] = b[row];
            for (var k = 0; k < row; k++)
                x[row] -= lower[row][k] * x[k];
            x[row] /= lower[row][row];
        }
        return x;
    }
}
