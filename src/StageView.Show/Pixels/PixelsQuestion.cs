using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Content;

namespace StageView.Show.Pixels;

/// <summary>Follows the pixels of a map through a source of levels.</summary>
public sealed class PixelsQuestion
{
    private readonly RigScene _rig;
    private readonly PixelMap _map;

    private PixelsQuestion(RigScene rig, PixelMap map, string content) => (_rig, _map, Content) = (rig, map, content);

    /// <summary>The map.</summary>
    public PixelMap Map => _map;

    /// <summary>Name of the content that is sampled, or empty.</summary>
    public string Content { get; }

    /// <summary>Finds the map.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="map">A map's name, or null.</param>
    /// <param name="content">A content's name, or null: its map, or its throw onto the rig at rest.</param>
    /// <exception cref="StopException">There is none of that name, or none was named where there are several.</exception>
    public static PixelsQuestion Open(RigScene rig, string? map, string? content)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var placement = content is null ? null : rig.Content.FirstOrDefault(c => c.Name == content)
            ?? throw StopException.Wrong($"no content is named \"{content}\"{Nearest.Among(content, [.. rig.Content.Select(c => c.Name)])}");
        if (placement is { Through.Count: > 0 })
        {
            throw StopException.Wrong($"content \"{content}\" is thrown by fixtures: it lies on no pixels");
        }

        var name = map ?? placement?.Map ?? (placement is null && rig.PixelMaps.Count == 1 ? rig.PixelMaps[0].Name : null);
        var rest = StageModel.SurfacesAtRest(rig);
        if (name is null)
        {
            return placement is not null ? new PixelsQuestion(rig, PixelMap.Of(rig, placement, rest), placement.Name)
                : throw StopException.Wrong(rig.PixelMaps.Count == 0 && rig.Content.Count == 0
                    ? "the rig has no \"maps\" and no \"content\": there is nothing that pixels could be followed against"
                    : "name one with --map or --content: " + string.Join(", ", rig.PixelMaps.Select(m => m.Name).Concat(rig.Content.Select(c => c.Name))));
        }

        var plan = rig.PixelMaps.FirstOrDefault(m => m.Name == name)
            ?? throw StopException.Wrong($"no map is named \"{name}\"{Nearest.Among(name, [.. rig.PixelMaps.Select(m => m.Name)])}");
        return new PixelsQuestion(rig, PixelMap.Of(rig, plan, rest), placement?.Name ?? "");
    }

    /// <summary>The map as a table, in the order of the wire.</summary>
    public IReadOnlyList<PixelMapRow> Rows()
    {
        var stage = new StageModel(_rig);
        var rows = new List<PixelMapRow>();
        foreach (var patch in _map.Patches)
        {
            var grid = stage.GridOf(patch.Fixture, patch.Emitter);
            var size = Vector2.Abs(patch.Right / patch.Rest.Columns) + Vector2.Abs(patch.Down / patch.Rest.Rows);
            for (var n = 0; n < patch.Rest.Columns * patch.Rest.Rows; n++)
            {
                var (column, row) = grid.Path.Wired(n, patch.Rest.Columns, patch.Rest.Rows);
                var i = (row * patch.Rest.Columns) + column;
                var middle = patch.MiddleOf(column, row);
                if (!float.IsNaN(middle.X))
                {
                    var own = patch.ByHand is { } hand ? new Vector2(hand[i].Z, hand[i].W) : size;
                    rows.Add(new PixelMapRow(_rig.Fixtures[patch.Fixture.Value].Name, grid.Geometry, n + 1, middle.X, middle.Y, own.X, own.Y,
                        grid.Addresses[i]?.ToString() ?? ""));
                }
            }
        }

        return rows;
    }

    /// <summary>Follows the pixels.</summary>
    /// <param name="source">Where levels come from.</param>
    /// <param name="times">Show times, rising.</param>
    /// <param name="wipe">Speed of a wipe over the picture, m/s, above 0.</param>
    public PixelsAnswer Track(ShowSource source, IEnumerable<TimeSpan> times, double wipe)
    {
        ArgumentNullException.ThrowIfNull(source);
        var tracker = new PixelTracker(_map);
        var placed = source.Stage.Content.FirstOrDefault(c => c.Placement.Name == Content);
        var found = new List<TrackedTime>();
        var panels = new Dictionary<FixtureIndex, TrackedPanel>();
        foreach (var at in times)
        {
            source.FeedTo(at);
            var surfaces = source.Stage.SurfacesAt(at).ToArray();
            var frame = tracker.Track(surfaces);
            for (var p = 0; p < _map.Patches.Count; p++)
            {
                var patch = _map.Patches[p];
                var most = 0f;
                foreach (var d in tracker.Displacements[tracker.RangeOf(p)])
                {
                    most = MathF.Max(most, d);
                }

                if (most > 1e-4f && !(panels.TryGetValue(patch.Fixture, out var before) && before.Largest >= most))
                {
                    panels[patch.Fixture] = new TrackedPanel(
                        _rig.Fixtures[patch.Fixture.Value].Name, most, most / PixelTracker.PitchOf(patch.Rest), at.TotalSeconds);
                }
            }

            var image = placed?.ImageAt(at);
            found.Add(new TrackedTime(
                at.TotalSeconds, frame.Largest, frame.Median, frame.Pitches, (float)(frame.Largest / wipe), frame.Away,
                placed is null ? null : image is null ? 0 : Difference(surfaces, image, placed.Placement.FacingAway),
                frame.Patch < 0 ? "" : _rig.Fixtures[_map.Patches[frame.Patch].Fixture.Value].Name));
        }

        return new PixelsAnswer(
            _map.Name, Content, _map.Pixels, wipe, found,
            [.. panels.Values.OrderByDescending(p => p.Largest).ThenBy(p => p.Fixture, StringComparer.Ordinal)]);
    }

    private float Difference(PixelSurface[] now, ContentImage image, FacingAway away)
    {
        var at = now.ToDictionary(s => (s.Fixture, s.Emitter));
        var (sum, count) = (0.0, 0);
        foreach (var patch in _map.Patches)
        {
            var light = new Vector3[patch.Rest.Columns * patch.Rest.Rows];
            var still = new Vector3[light.Length];
            PixelTracker.Sample(patch, patch.Rest, image, away, still);
            PixelTracker.Sample(patch, at.GetValueOrDefault((patch.Fixture, patch.Emitter), patch.Rest), image, away, light);
            for (var i = 0; i < light.Length; i++)
            {
                sum += MathF.Abs(BeamPhotometry.Luminance(light[i]) - BeamPhotometry.Luminance(still[i]));
            }

            count += light.Length;
        }

        return count == 0 ? 0 : (float)(sum / count);
    }
}
