using System.Globalization;
using Pourwright.Benchmarks;
using Pourwright.Benchmarks.Service;

return args switch
{
    ["cure", .. var options] => CureBenchmark.Run(options),
    ["pours", .. var options] => PoursBenchmark.Run(options),
    ["learning", .. var options] => LearningBenchmark.Run(options),
    ["shops", .. var options] => ShopsBenchmark.Run(options),
    ["planning", .. var options] => PlanningBenchmark.Run(options),
    ["suspects", .. var options] => SuspectsBenchmark.Run(options),
    ["trace", .. var options] => await TraceBenchmark.RunAsync(options),
    ["store", .. var options] => await StoreBenchmark.RunAsync(options),
    ["service", .. var options] => await ServiceBenchmark.RunAsync(options),
    ["stalled", .. var options] => await StalledBenchmark.RunAsync(options),
    ["access", .. var options] => await AccessBenchmark.RunAsync(options),
    ["growth", .. var options] => await GrowthBenchmark.RunAsync(options),
    ["pages", .. var options] => await PagesBenchmark.RunAsync(options),
    ["echo", var port] => await EchoFloor.RunAsync(int.Parse(port, CultureInfo.InvariantCulture)),
    _ => Usage(),
};

static int Usage()
{
    Console.Error.WriteLine("Say which: cure [--long], pours [--count N], learning [--studios N] [--lots N] [--notes FILE], shops [--work N],"
        + " planning [--short] [--only small|middle|large|words] [--seeds N], suspects [--runs N], trace [--mixes N] [--file F], store [--seconds N], service [--seconds N] [--rounds N], access [--calls N] [--seconds N], growth [--mixes N], stalled [--connections N] [--seconds N] [--rounds N], or pages [--walls N] [--seconds N].");
    Console.Error.WriteLine("Run in Release on an idle machine: dotnet run -c Release --project tests/Pourwright.Benchmarks -- cure");
    return 2;
}
