using System.Reflection;
using Pourwright.Testing;
using Xunit.Sdk;

namespace Pourwright.Faults;

/// <summary>A row for a SQLite file, and one for a PostgreSQL database where `POURWRIGHT_TEST_SERVER` names a server.</summary>
internal sealed class EveryEngineAttribute : DataAttribute
{
    public override IEnumerable<object[]> GetData(MethodInfo testMethod) => TestStore.Server is null ? [["file"]] : [["file"], ["server"]];
}

internal static class Engines
{
    /// <summary>A new store on an engine by its name.</summary>
    public static TestStore Create(string engine) => engine == "file" ? TestStore.OnFile() : TestStore.OnServer();
}

/// <summary>A test that needs a PostgreSQL server.</summary>
internal sealed class ServerFactAttribute : FactAttribute
{
    public ServerFactAttribute()
    {
        if (TestStore.Server is null) Skip = "Needs a PostgreSQL server: set POURWRIGHT_TEST_SERVER, as tests/faults.sh does.";
    }
}

/// <summary>A test that preloads native code into a node.</summary>
internal sealed class PreloadFactAttribute : FactAttribute
{
    public PreloadFactAttribute()
    {
        if (!OperatingSystem.IsLinux() || !System.IO.File.Exists("/usr/bin/gcc")) Skip = "Needs gcc; tests/faults.sh installs it.";
    }
}
