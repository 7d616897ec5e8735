using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Mirrors;
using StageView.Light.Rays;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// The looks of one eye: a ray through the middle of each group of cells, over mirrors, to the surface it ends on. They hold as long as nothing in the room
/// moves.
/// </summary>
internal sealed class FieldRays
{
    private const float Far = 200;

    /// <summary>Mirrors that a look may meet.</summary>
    private const int MostMirrors = 2;

    private readonly List<Leg> _legs = [];
    private readonly Group[] _groups;

    public FieldRays(FieldGrid grid, int group, in EyeFrame frame, LightMeter meter, OcclusionScene scene)
    {
        var (columns, rows) = Across(grid, group);
        _groups = new Group[columns * rows];
        for (var g = 0; g < _groups.Length; g++)
        {
            var (c, r) = (g % columns * group, g / columns * group);
            var (c1, r1) = (Math.Min(c + group, grid.Columns), Math.Min(r + group, grid.Rows));
            _groups[g] = Follow(meter, scene, frame.Eye, frame.ToWorld(grid.Directions[(((r + r1 - 1) / 2) * grid.Columns) + ((c + c1 - 1) / 2)]));
        }
    }

    public ReadOnlySpan<Group> Groups => _groups;

    /// <summary>The legs of a group's ray through the air.</summary>
    public ReadOnlySpan<Leg> LegsOf(in Group group) => System.Runtime.InteropServices.CollectionsMarshal.AsSpan(_legs).Slice(group.FirstLeg, group.Legs);

    /// <summary>Groups across and down.</summary>
    public static (int Columns, int Rows) Across(FieldGrid grid, int group) => ((grid.Columns + group - 1) / group, (grid.Rows + group - 1) / group);

    private Group Follow(LightMeter meter, OcclusionScene scene, Vector3 from, Vector3 direction)
    {
        var moment = meter.Moment;
        var (first, left, path, mirror) = (_legs.Count, 1f, 0f, MirrorIndex.None);
        for (var bounce = 0; bounce <= MostMirrors; bounce++)
        {
            var met = scene.Closest(from, direction, Far, FixtureIndex.None, mirror, out var hit);
            var far = met ? hit.Distance : Far;
            _legs.Add(new Leg(from, direction, far, left * meter.HazeOver(path)));
            path += far;
            if (met && hit.Mirror.IsNone)
            {
                var albedo = !hit.Instance.IsNone ? moment[hit.Instance].Albedo : Vector3.Zero;
                return new Group(first, _legs.Count - first, hit.Point, hit.Normal, albedo * (left / MathF.PI * meter.HazeOver(path)));
            }

            if (!met || hit.Mirror.Value >= moment.Mirrors.Length)
            {
                break;
            }

            var face = moment[hit.Mirror];
            var cos = -Vector3.Dot(direction, face.Normal);
            if (cos <= 0)
            {
                break;
            }

            left *= (float)MirrorOptics.Shares(face, cos).Total;
            (from, direction, mirror) = (hit.Point, Vector3.Normalize(Vector3.Reflect(direction, face.Normal)), hit.Mirror);
        }

        return new Group(first, _legs.Count - first, default, default, Vector3.Zero);
    }

    /// <summary>A stretch of a ray through the air.</summary>
    /// <param name="From">m.</param>
    /// <param name="Direction">Unit vector.</param>
    /// <param name="Length">m.</param>
    /// <param name="Left">Share of its light that reaches the eye.</param>
    public readonly record struct Leg(Vector3 From, Vector3 Direction, float Length, float Left);

    /// <summary>Where a group's ray ends.</summary>
    /// <param name="FirstLeg">Its first leg.</param>
    /// <param name="Legs">How many.</param>
    /// <param name="Point">On the surface met, m.</param>
    /// <param name="Normal">The surface's, towards the eye.</param>
    /// <param name="Weight">Luminance seen for 1 lx on the surface, cd/m² by component (matt: albedo/π); zero where nothing matt is met.</param>
    public readonly record struct Group(int FirstLeg, int Legs, Vector3 Point, Vector3 Normal, Vector3 Weight);
}
