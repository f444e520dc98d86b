using Pourwright.Host;
using Pourwright.Host.Demo;

switch (args)
{
    case ["demo", .. var options]:
        await DemoCommand.RunAsync(options, Console.Out);
        return 0;
    case ["verify", .. var options]:
        return VerifyCommand.Run(options, Console.Out);
    case ["backup", .. var options]:
        return BackupCommand.Run(options, Console.Out, Console.Error);
    case ["copy", .. var ends]:
        return CopyCommand.Run(ends, Console.Out, Console.Error);
    case ["health", .. var what]:
        return await HealthCommand.RunAsync(what, Console.Error);
    case ["owner-key", .. var options]:
        return await OwnerKeyCommand.RunAsync(options, Console.Out);
    default:
        return await StudioHost.RunAsync(args);
}
