using StageView.Rig.Mvr;
using StageView.Show.Rigs;

namespace StageView.Show.Tests.Exchange;

/// <summary>A rig that includes a drawing, and MVR files to commit to it.</summary>
internal sealed class Offices : IDisposable
{
    private readonly TempFolder _folder = new();
    private int _files;

    public Offices(string? rig = null) => Rig = _folder.File("show.rig.jsonc", rig ?? DrawnRig.Text);

    public string Rig { get; }

    public string Folder => _folder.Path;

    /// <summary>An MVR file of a rig, as <c>export</c> writes it.</summary>
    public string Mvr(string rig)
    {
        var file = _folder[$"office{++_files}.mvr"];
        using var to = File.Create(file);
        MvrExporter.Export(RigFiles.Open(_folder.File($"office{_files}.rig.jsonc", rig)), to);
        return file;
    }

    public void Dispose() => _folder.Dispose();
}
