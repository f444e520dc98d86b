using Pourwright.Benchmarks;

return args switch
{
    ["cure"] => CureBenchmark.Run(),
    _ => Usage(),
};

static int Usage()
{
    Console.Error.WriteLine("Say which: cure. Run in Release on an idle machine: dotnet run -c Release --project tests/Pourwright.Benchmarks -- cure");
    return 2;
}
