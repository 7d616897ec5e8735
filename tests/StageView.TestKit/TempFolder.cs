namespace StageView.TestKit;

/// <summary>A folder that goes with the test.</summary>
public sealed class TempFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("stageview-test-").FullName;

    /// <summary>The path of a file in it.</summary>
    public string this[string name] => System.IO.Path.Combine(Path, name);

    /// <summary>The path of a file in it, written when there is a text.</summary>
    public string File(string name, string? text = null)
    {
        var path = this[name];
        if (text is not null)
        {
            System.IO.File.WriteAllText(path, text);
        }

        return path;
    }

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
