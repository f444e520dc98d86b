namespace Pourwright.Journeys;

/// <summary>Where this repository lies, found upwards from the test's own folder.</summary>
internal static class Repository
{
    public static readonly string Root = Find(new DirectoryInfo(AppContext.BaseDirectory)).FullName;

    private static DirectoryInfo Find(DirectoryInfo folder) =>
        File.Exists(Path.Combine(folder.FullName, "Pourwright.slnx")) ? folder : Find(folder.Parent!);
}
