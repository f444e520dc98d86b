using Pourwright.Cli;
using Pourwright.Cli.Kernel;

using var stop = new CancellationTokenSource();
Console.CancelKeyPress += (_, press) =>
{
    press.Cancel = true;
    stop.Cancel();
};
return await CommandLine.RunAsync(args, new(Console.Out, Console.Error, TimeProvider.System, Console.In, ClientKey.Find), stop.Token);
