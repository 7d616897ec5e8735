using StageView.Ground.Files;
using StageView.Rig.Archives;
using StageView.Rig.Source;

namespace StageView.Rig.Mvr;

/// <summary>What an import wrote and passed over.</summary>
public sealed record ImportReport
{
    /// <summary>The scene file written.</summary>
    public required string RigFile { get; init; }

    public required int Fixtures { get; init; }

    public required int Pieces { get; init; }

    public required int FocusPoints { get; init; }

    /// <summary>Files written, from the folder.</summary>
    public required IReadOnlyList<string> Written { get; init; }

    /// <summary>What of the file was changed or passed over, one line each.</summary>
    public required IReadOnlyList<string> Notes { get; init; }
}

/// <summary>Turns an MVR archive into a folder with a scene file, the fixtures' GDTF files and the models.</summary>
public static class MvrImporter
{
    private const long MaxBytes = 512L << 20;

    /// <param name="path">The .mvr file.</param>
    /// <param name="folder">An empty or new folder; nothing is written outside it.</param>
    /// <param name="report">What was done.</param>
    /// <param name="problem">Why not, in one line.</param>
    public static bool TryImport(string path, string folder, out ImportReport report, out RigProblem? problem) =>
        TryImport(path, folder, Path.GetFileNameWithoutExtension(path), out report, out problem);

    /// <param name="path">The .mvr file.</param>
    /// <param name="folder">An empty or new folder; nothing is written outside it.</param>
    /// <param name="name">Name of the rig; its file is <c>NAME.rig.jsonc</c>.</param>
    /// <param name="report">What was done.</param>
    /// <param name="problem">Why not, in one line.</param>
    public static bool TryImport(string path, string folder, string name, out ImportReport report, out RigProblem? problem)
    {
        report = null!;
        problem = null;
        if (Directory.Exists(folder) && Directory.EnumerateFileSystemEntries(folder).Any())
        {
            problem = Wrong(folder, "the folder is not empty: name a new one, so that nothing of yours is written over");
            return false;
        }

        try
        {
            var info = new FileInfo(path);
            if (!info.Exists || info.Length > MaxBytes || info.Length == 0)
            {
                problem = Wrong(path, !info.Exists ? "no such file" : info.Length == 0 ? BoundedFile.Empty : "larger than 512 MiB");
                return false;
            }

            if (StoragePointer.IsAt(path))
            {
                problem = Wrong(path, StoragePointer.Told);
                return false;
            }

            var budget = new ArchiveBudget();
            using var archive = SafeArchive.TryOpen(new FileStream(path, FileMode.Open, FileAccess.Read), budget, out var why);
            var xml = archive?.TryRead(MvrReader.Description, out why);
            var root = xml is null ? null : SafeXml.TryParse(xml, budget, out why);
            var scene = root is null ? null : MvrReader.Read(root, out why);
            if (archive is null || scene is null)
            {
                problem = Wrong(path, why);
                return false;
            }

            report = new MvrFolder(archive, scene, folder, name).Write();
            return true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            problem = Wrong(path, e.Message);
            return false;
        }
    }

    private static RigProblem Wrong(string file, string text) => new(SourcePlace.WholeOf(file), text, ProblemSeverity.Error);
}
