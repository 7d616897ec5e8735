using System.Text.Json;
using StageView.Rig.Assets;
using StageView.Rig.Checks;
using StageView.Rig.Mvr;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Show.Rigs;

/// <summary>
/// Checks a file by its kind: a rig as it is, an MVR as the rig that an import would make, a fixture (GDTF or ours) as a rig with each of its modes.
/// </summary>
public static class FileCheck
{
    /// <param name="path">A rig file, or one that ends in .mvr, .gdtf or .fixture.jsonc.</param>
    /// <param name="venue">A venue file laid over it, or null.</param>
    /// <param name="summary">Null where the file can't be used.</param>
    /// <param name="notes">What an import would not take over, one line each.</param>
    public static IReadOnlyList<RigProblem> Check(string path, string? venue, out RigSummary? summary, out IReadOnlyList<string> notes)
    {
        ArgumentNullException.ThrowIfNull(path);
        var options = RigFiles.Options with { Venue = venue };
        var ending = Path.GetExtension(path).ToUpperInvariant();
        notes = [];
        var isFixture = ending == ".GDTF" || path.EndsWith(".fixture.jsonc", StringComparison.OrdinalIgnoreCase)
            || path.EndsWith(".fixture.json", StringComparison.OrdinalIgnoreCase);
        if (ending != ".MVR" && !isFixture)
        {
            return RigChecker.Check(path, options, out summary);
        }

        var folder = Directory.CreateTempSubdirectory("stageview-check-").FullName;
        try
        {
            if (isFixture)
            {
                return Fixture(path, Path.Combine(folder, "a.rig.jsonc"), options, out summary);
            }

            summary = null;
            if (!MvrImporter.TryImport(path, Path.Combine(folder, Path.GetFileNameWithoutExtension(path)), out var report, out var problem))
            {
                return [problem!];
            }

            notes = report.Notes;
            return RigChecker.Check(report.RigFile, options, out summary);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static IReadOnlyList<RigProblem> Fixture(string path, string rig, RigLoadOptions options, out RigSummary? summary)
    {
        string Q(string text) => JsonSerializer.Serialize(text);
        string Hang(string name, string mode) =>
            $"{{ \"name\": {Q(name)}, \"profile\": {Q(Path.GetFullPath(path))}{(mode.Length > 0 ? $", \"mode\": {Q(mode)}" : "")} }}";
        void Write(IEnumerable<string> hangs) => File.WriteAllText(rig,
            $"{{ \"name\": {Q(Path.GetFileNameWithoutExtension(path).Trim())}, \"hangs\": [ {string.Join(", ", hangs)} ] }}");
        Write([Hang("fixture", "")]);
        if (RigLoader.TryLoad(rig, options, out var one, out var problems))
        {
            // A mode without a name can't be named: the first stands for it.
            var modes = one.Fixtures[0].Profile.Modes.Select(m => m.Name.Trim()).ToList();
            Write(modes.Select((m, i) => Hang($"mode {i + 1}", m)));
            return RigChecker.Check(rig, options, out summary);
        }

        summary = null;
        return problems;
    }
}
