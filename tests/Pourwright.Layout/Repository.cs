namespace Pourwright.Layout;

/// <summary>The files of this repository, found upwards from the test's own folder.</summary>
internal static class Repository
{
    private static readonly string Root = FindRoot(AppContext.BaseDirectory);

    public static string Path(string relative) => System.IO.Path.Combine(Root, relative);

    /// <summary>Source files below a folder, build output left out, relative to the root.</summary>
    public static IEnumerable<string> Sources(string folder, string pattern) =>
        Directory.EnumerateFiles(Path(folder), pattern, SearchOption.AllDirectories)
            .Select(path => System.IO.Path.GetRelativePath(Root, path).Replace('\\', '/'))
            .Where(path => !path.Contains("/obj/") && !path.Contains("/bin/") && !path.Contains("/node_modules/"));

    private static string FindRoot(string folder) =>
        File.Exists(System.IO.Path.Combine(folder, "Pourwright.slnx")) ? folder : FindRoot(Directory.GetParent(folder)!.FullName);
}
