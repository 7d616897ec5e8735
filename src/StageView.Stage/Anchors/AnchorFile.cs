using System.Numerics;
using StageView.Ground.Indices;
using StageView.Rig.Keys;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Looks;

namespace StageView.Stage.Anchors;

/// <summary>What some positions are for, as a person says.</summary>
/// <param name="Fixtures">Of which fixtures, by the show's own rig.</param>
/// <param name="Position">Which position, from 1; null for all.</param>
/// <param name="Cue">Only positions used in this cue; empty for all.</param>
/// <param name="At">The point, m, in the new venue.</param>
/// <param name="Name">Its name; empty for one without.</param>
/// <param name="Via">Mirrors on the way; null for those that there were.</param>
/// <param name="Where">File, line and path, for messages.</param>
public sealed record StatedAnchor(
    IReadOnlySet<FixtureIndex> Fixtures, int? Position, string Cue, Vector3 At, string Name, IReadOnlyList<string>? Via, string Where);

/// <summary>Reads anchors files: JSON with comments.</summary>
public static class AnchorFile
{
    /// <summary>Reads a file.</summary>
    /// <param name="before">The rig that the show was made on: its fixtures are named.</param>
    /// <param name="after">The rig in the new venue: its named points are meant.</param>
    /// <param name="json">The file's bytes.</param>
    /// <param name="file">What messages call it.</param>
    /// <param name="problems">What is wrong, each with line and path.</param>
    /// <returns>The anchors, or null where there are mistakes.</returns>
    public static IReadOnlyList<StatedAnchor>? TryRead(
        RigScene before, RigScene after, ReadOnlySpan<byte> json, string file, out IReadOnlyList<RigProblem> problems)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        var found = new ProblemList();
        var anchors = new List<StatedAnchor>();
        if (SourceParser.TryParse(json, file, found) is { } root && KeyChecker.Check(root, AnchorKeys.Anchors, found))
        {
            var points = LookFile.Points(root, after);
            foreach (var entry in root.ListOf("anchors"))
            {
                if (LookSetter.Select(before, entry, found) is not { } fixtures || !TryPoint(after, entry.Get("at")!, points, found, out var at, out var name))
                {
                    continue;
                }

                anchors.Add(new StatedAnchor(fixtures.Select(f => f.Index).ToHashSet(), entry.Has("position") ? entry.IntegerOr("position", 1) : null,
                    entry.TextOr("cue"), at, name, entry.Has("via") ? entry.TextsOf("via") : null,
                    $"{Path.GetFileName(entry.File)}:{entry.Line}: {entry.Path}"));
            }
        }

        problems = found.ToList();
        return found.Errors == 0 ? anchors : null;
    }

    /// <summary>The JSON Schema of anchors files.</summary>
    public static string Schema() => SchemaWriter.Write(AnchorKeys.Anchors, "StageView anchors");

    private static bool TryPoint(
        RigScene after, SourceNode written, IReadOnlyDictionary<string, Vector3> points, ProblemList problems, out Vector3 at, out string name)
    {
        name = written.Kind == SourceKind.Text ? written.Text : "";
        if (name.Length == 0)
        {
            at = written.AsVector() ?? default;
            return true;
        }

        if (points.TryGetValue(name, out at))
        {
            return true;
        }

        problems.Error(written, $"there is no point named \"{name}\"{after.WhereGone(name)}{Nearest.Among(name, [.. points.Keys])}");
        return false;
    }
}
