using Pourwright.Benchmarks;

return args switch
{
    ["peer"] => PeerBenchmark.Run() ? 0 : 1,
    ["cure"] => CureBenchmark.Run(),
    ["learning", .. var options] => LearningBenchmark.Run(options),
    _ => Usage(),
};

static int Usage()
{
    Console.Error.WriteLine("Say which: cure, or learning [--studios N] [--lots N].");
    Console.Error.WriteLine("Run in Release on an idle machine: dotnet run -c Release --project tests/Pourwright.Benchmarks -- cure");
    return 2;
}
