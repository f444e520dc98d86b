namespace Pourwright.Cli.Kernel;

/// <summary>The key that a command shows to the server: from the environment, else from a file that only its owner may read. Never from the command line, which others see and shells remember.</summary>
public static class ClientKey
{
    private const string Variable = "POURWRIGHT_KEY";
    private const string FileVariable = "POURWRIGHT_KEY_FILE";

    /// <summary>Where <c>pourwright key keep</c> puts it.</summary>
    public static string KeptAt => Environment.GetEnvironmentVariable(FileVariable) is { Length: > 0 } path
        ? path
        : Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.ApplicationData, Environment.SpecialFolderOption.DoNotVerify), "pourwright", "key");

    /// <summary>The key; null where there is none.</summary>
    /// <exception cref="UsageException">The file can be read by others.</exception>
    public static string? Find()
    {
        if (Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } key) return key;
        if (!File.Exists(KeptAt)) return null;
        RequirePrivate(KeptAt);
        return File.ReadAllText(KeptAt).Trim();
    }

    /// <exception cref="UsageException">The file can be read by others.</exception>
    public static void RequirePrivate(string file)
    {
        const UnixFileMode others = UnixFileMode.GroupRead | UnixFileMode.OtherRead;
        if (!OperatingSystem.IsWindows() && (File.GetUnixFileMode(file) & others) != 0)
            throw new UsageException($"Others can read the key in {file}: chmod 600 {file}, and have it revoked if they did.");
    }

    /// <summary>Keeps a key for the commands to come, readable by its owner alone.</summary>
    public static void Keep(string key)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(KeptAt))!);
        File.Delete(KeptAt);
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows()) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        using var file = new StreamWriter(KeptAt, options);
        file.WriteLine(key);
    }
}
