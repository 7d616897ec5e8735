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
        var map = c.Has("map") ? c.TextOr("map") : null;
        var through = c.Has("through");
        foreach (var key in (string[])["map", "corner", "across", "down", "fixtures", "mix", "facingAway", "luminance"])
        {
            if (through && c.Get(key) is { } laid)
            {
                build.Problems.Error(laid, "content that fixtures throw (\"through\") lies on no pixels");
            }
        }

        if (!through && !c.Has("luminance"))
        {
            build.Problems.Error(c, "\"luminance\" is missing: what full white has over pixels, cd/m²");
        }

        foreach (var key in through ? [] : (string[])["corner", "across", "down"])
        {
            if (map is null && !c.Has(key))
            {
                build.Problems.Error(c, $"\"{key}\" is missing: content is thrown from \"corner\" over \"across\" and \"down\", or placed by a \"map\"");
            }
            else if (map is not null && c.Get(key) is { } thrown)
            {
                build.Problems.Error(thrown, "the \"map\" places this content already");
            }
        }

        var (across, down) = (c.VectorOr("across", Vector3.UnitX), c.VectorOr("down", -Vector3.UnitZ));
        if (Vector3.Cross(across, down).Length() < 1e-6f)
        {
            build.Problems.Error(c, "\"across\" and \"down\" must span a rectangle: neither zero nor along one line");
        }

        var name = c.TextOr("name");
        var file = c.TextOr("file");
        if (c.Has("file") == c.Has("input"))
        {
            build.Problems.Error(c, "content needs either a \"file\" or an \"input\"");
        }

        var input = c.Get("input") is { } live
            ? new ContentInput(
                live.TextOr("format"), live.TextOr("address"), live.IntegerOr("width", 320), live.IntegerOr("height", 180), live.IntegerOr("rate", 0))
            : null;
        var full = input is null ? Path.GetFullPath(Path.Combine(folder, file)) : "";
        if (input is null)
        {
            build.Assets.Files.Has(full, SourceFileKind.Content);
        }

        var (start, timecode) = (c.NumberOr("start", 0), c.Get("start") is { Kind: SourceKind.Text } tc ? tc.Text["tc:".Length..] : null);
        var clock = c.TextOr("clock") == "timecode" ? ContentClock.Timecode : ContentClock.Show;
        if (clock == ContentClock.Timecode && timecode is null)
        {
            build.Problems.Error(c.Get("clock")!, "content that follows timecode needs a timecode to start at: \"start\": \"tc:01:00:00:00\"");
        }

        if (clock == ContentClock.Timecode && input is not null)
        {
            build.Problems.Error(c.Get("clock")!, "a live input follows no clock: its newest picture shows");
        }

        return new ContentPlacement
        {
            Name = name,
            File = file,
            FullPath = full,
            Input = input,
            Corner = c.VectorOr("corner", default),
            Across = across,
            Down = down,
            Luminance = c.NumberOr("luminance", 0),
            Start = TimeSpan.FromSeconds(Math.Clamp(start, 0, 1e6)),
            StartTimecode = timecode,
            Clock = clock,
            Offset = TimeSpan.FromSeconds(c.NumberOr("offset", 0)),
            Pace = c.Get("pace") is { Kind: SourceKind.Number } pace ? pace.Number : 1,
            Map = map,
            FacingAway = c.TextOr("facingAway") switch { "mirrored" => FacingAway.Mirrored, "hold" => FacingAway.Hold, _ => FacingAway.Dark },
            Repeat = c.FlagOr("repeat", false),
            SequenceRate = c.NumberOr("rate", 25),
            Mix = c.TextOr("mix", "highest") switch { "add" => ContentMix.Add, "levelsOver" => ContentMix.LevelsOver, _ => ContentMix.Highest },
            Source = c.Place,
        };
    }

    /// <returns>Null where the venue leaves out all fixtures that it names.</returns>
    public static ContentPlacement? Resolve(ContentPlacement content, SourceNode c, IReadOnlyList<Fixture> fixtures, SceneBuild build)
    {
        if (content.Map is { } map && !build.PixelMaps.Exists(m => m.Map.Name == map))
        {
            build.Problems.Error(c.Get("map")!, $"no map is named \"{map}\"{Nearest.Among(map, [.. build.PixelMaps.Select(m => m.Map.Name)])}");
        }

        if (c.Has("through"))
        {
            var throws = Named(c, fixtures, build, "through");
            if (throws.Count == 0 && build.Problems.Errors == 0)
            {
                build.Venue?.Changed($"content \"{content.Name}\" left out: nothing that throws it is there");
                return null;
            }

            return content with { Through = throws };
        }

        var wanted = c.TextsOf("fixtures");
        var found = new SortedSet<FixtureIndex>(Named(c, fixtures, build));
        if (wanted.Count > 0 && found.Count == 0 && build.Problems.Errors == 0)
        {
            build.Venue?.Changed($"content \"{content.Name}\" left out: nothing that it is laid over is there");
            return null;
        }

        return content with { Fixtures = [.. found] };
    }

    /// <summary>The fixtures that a key names, in the order of the patterns; those of one pattern as hung.</summary>
    public static IReadOnlyList<FixtureIndex> Named(SourceNode c, IReadOnlyList<Fixture> fixtures, SceneBuild build, string key = "fixtures")
    {
        var found = new List<FixtureIndex>();
        var seen = new HashSet<FixtureIndex>();
        foreach (var pattern in c.TextsOf(key))
        {
            if (!build.Bounds.Compare(c, fixtures.Count))
            {
                break;
            }

            var before = found.Count;
            var match = new NameMatch(pattern);
            found.AddRange(fixtures.Where(f => match.Is(f.Name) || f.Groups.Any(match.Is)).Select(f => f.Index).Where(seen.Add));
            if (found.Count == before && !build.Hung.Exists(h => h.Removed && (match.Is(h.Name) || h.Groups.Any(match.Is))))
            {
                build.Problems.Error(c.Get(key) ?? c, $"no fixture or group is called \"{pattern}\"");
            }
        }

        return found;
    }
}
