using System.Numerics;
using System.Text;
using StageView.Rig.Keys;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Levels;

namespace StageView.Stage.Looks;

/// <summary>
/// A look: what a console would have set, written by hand. JSON with comments: <c>points</c>, then <c>set</c>, a list of entries applied in order.
/// </summary>
public static class LookFile
{
    /// <summary>Levels of a look on top of the rig's defaults.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="json">The file's text.</param>
    /// <param name="problems">
    /// What is wrong, each with line and path. Errors are mistakes in the file; warnings are what single fixtures can't do. What has no problem is applied.
    /// </param>
    /// <param name="file">What messages call it.</param>
    public static LevelsEncoder Read(RigScene rig, string json, List<RigProblem> problems, string file = "look") => Read(rig, json, problems, out _, file);

    /// <summary>The same, and how often something was set: 0 where no line of it can be used.</summary>
    public static LevelsEncoder Read(RigScene rig, string json, List<RigProblem> problems, out int sets, string file = "look")
    {
        ArgumentNullException.ThrowIfNull(problems);
        sets = 0;
        var levels = new LevelsEncoder(rig);
        var found = new ProblemList();
        if (SourceParser.TryParse(Encoding.UTF8.GetBytes(json), file, found) is { } root && KeyChecker.Check(root, LookKeys.Look, found))
        {
            var setter = new LookSetter(levels, Points(root, rig));
            foreach (var entry in root.ListOf("set"))
            {
                setter.Apply(entry, found);
            }

            sets = setter.Sets;
        }

        problems.AddRange(found.ToList());
        return levels;
    }

    /// <summary>Named points that a checked look or cue file may use, m: the rig's focus points, and its own, which go first.</summary>
    internal static IReadOnlyDictionary<string, Vector3> Points(SourceNode root, RigScene rig)
    {
        var points = root.Get("points")?.Members.ToDictionary(m => m.Key, m => m.Value.AsVector() ?? default, StringComparer.Ordinal) ?? [];
        foreach (var p in rig.FocusPoints)
        {
            points.TryAdd(p.Name, p.Position);
        }

        return points;
    }
}
