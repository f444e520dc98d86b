using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Storage;

/// <summary>A test that needs a PostgreSQL server whatever the others run on.</summary>
internal sealed class ServerFactAttribute : FactAttribute
{
    public ServerFactAttribute()
    {
        if (TestStore.Server is null) Skip = "Needs a PostgreSQL server: set POURWRIGHT_TEST_SERVER, as tests/run.sh does.";
    }
}
