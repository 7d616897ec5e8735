namespace StageView.App.Tests;

/// <summary>A folder that goes with the test.</summary>
internal sealed class TempFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("stageview-test-").FullName;

    public string File(string name, string? text = null)
    {
        var path = System.IO.Path.Combine(Path, name);
        if (text is not null)
        {
            System.IO.File.WriteAllText(path, text);
        }

        return path;
    }

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
