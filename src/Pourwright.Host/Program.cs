using Pourwright.Host;

await StudioHost.Build(args).RunAsync();
