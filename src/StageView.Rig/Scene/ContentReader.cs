using System.Numerics;
using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Reads the <c>content</c> of a rig; fixture names are resolved once all fixtures are known.</summary>
internal static class ContentReader
{
    public static ContentPlacement Read(SourceNode c, string folder, SceneBuild build)
    {
        var (across, down) = (c.VectorOr("across", Vector3.UnitX), c.VectorOr("down", -Vector3.UnitZ));
        if (Vector3.Cross(across, down).Length() < 1e-6f)
        {
            build.Problems.Error(c, "\"across\" and \"down\" must span a rectangle: neither zero nor along one line");
        }

        var name = c.TextOr("name");
        var file = c.TextOr("file");
        var full = Path.GetFullPath(Path.Combine(folder, file));
        build.Assets.Files.Has(full, SourceFileKind.Content);
        var start = c.NumberOr("start", 0);
        return new ContentPlacement
        {
            Name = name,
            File = file,
            FullPath = full,
            Corner = c.VectorOr("corner", default),
            Across = across,
            Down = down,
            Luminance = c.NumberOr("luminance", 0),
            Start = TimeSpan.FromSeconds(Math.Clamp(start, 0, 1e6)),
            Repeat = c.FlagOr("repeat", false),
            SequenceRate = c.NumberOr("rate", 25),
            Mix = c.TextOr("mix", "highest") switch { "add" => ContentMix.Add, "levelsOver" => ContentMix.LevelsOver, _ => ContentMix.Highest },
            Source = c.Place,
        };
    }

    /// <returns>Null where the venue leaves out all fixtures that it names.</returns>
    public static ContentPlacement? Resolve(ContentPlacement content, SourceNode c, IReadOnlyList<Fixture> fixtures, SceneBuild build)
    {
        var wanted = c.TextsOf("fixtures");
        var found = new SortedSet<FixtureIndex>();
        foreach (var pattern in wanted)
        {
            if (!build.Bounds.Compare(c, fixtures.Count))
            {
                break;
            }

            var before = found.Count;
            var match = new NameMatch(pattern);
            found.UnionWith(fixtures.Where(f => match.Is(f.Name) || f.Groups.Any(match.Is)).Select(f => f.Index));
            if (found.Count == before && !build.Hung.Exists(h => h.Removed && (match.Is(h.Name) || h.Groups.Any(match.Is))))
            {
                build.Problems.Error(c.Get("fixtures") ?? c, $"no fixture or group is called \"{pattern}\"");
            }
        }

        if (wanted.Count > 0 && found.Count == 0 && build.Problems.Errors == 0)
        {
            build.Venue?.Changed($"content \"{content.Name}\" left out: nothing that it is laid over is there");
            return null;
        }

        return content with { Fixtures = [.. found] };
    }
}
