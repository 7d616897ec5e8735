using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Show.Questions;
using StageView.Stage.Heads;

namespace StageView.Show.HouseLight;

/// <summary>Every way that each lantern can be aimed, what it gives there, and why others fall away.</summary>
internal sealed class LanternAims
{
    /// <summary>Where the lower edge of a beam would enter the audience, it is aimed so much over the face, m.</summary>
    private static readonly float[] s_over = [0, .4f, .8f, 1.2f];

    private readonly RigScene _rig;
    private readonly HouseLightAsked _asked;
    private readonly IReadOnlyList<ActingPosition> _positions;
    private readonly Moment _moment;
    private readonly OcclusionScene _scene;
    private readonly LightMeter _haze;
    private readonly Quantity _quantity;
    private readonly IReadOnlyList<WatchedVolume> _audience;

    /// <param name="rig">The rig.</param>
    /// <param name="asked">What is wanted.</param>
    /// <param name="positions">Where.</param>
    /// <param name="moment">That the lanterns' beams are of.</param>
    /// <param name="scene">What stands in the way.</param>
    public LanternAims(RigScene rig, HouseLightAsked asked, IReadOnlyList<ActingPosition> positions, Moment moment, OcclusionScene scene)
    {
        (_rig, _asked, _positions, _moment, _scene) = (rig, asked, positions, moment, scene);
        _haze = new LightMeter(moment, null, asked.Settings with { PixelSurfaces = false });
        _quantity = asked.Quantity(rig);
        _audience = [.. rig.Volumes.Where(v => v.Kind == CautionVolumeKind.Audience).Select(v => new WatchedVolume(v.Name, false, v.Pose, v.Size))];
    }

    /// <summary>All columns of a lantern, and what hinders it at each position.</summary>
    public (List<LightColumn> Columns, Hindered[] At) Of(Lantern lantern, int index)
    {
        var columns = new List<LightColumn>();
        var hindered = new Hindered[_positions.Count];
        if (lantern.Unfit.Length > 0)
        {
            return (columns, hindered);
        }

        if (lantern.Kind == LanternKind.AsHung)
        {
            var beam = lantern.Zooms.SelectMany(z => z.Beams).First();
            var seen = Seen(lantern, Lens(beam), hindered);
            var dazzled = Try(lantern, index, -1, beam.Apex + (beam.Axis * 5), Quaternion.Identity, default, seen, columns);
            return (columns, dazzled.What == Hindrance.Free ? hindered : [.. hindered.Select(h => h.What == Hindrance.Free ? dazzled : h)]);
        }

        for (var p = 0; p < _positions.Count; p++)
        {
            if (_positions[p].IsAim)
            {
                hindered[p] = Aim(lantern, index, p, columns);
            }
            else if (Ways(lantern, _positions[p].Point) is not { } way)
            {
                hindered[p] = new Hindered(Hindrance.OutOfReach, "");
            }
            else if (Between(lantern, way.Lens, _positions[p].Point) is { Length: > 0 } name)
            {
                hindered[p] = new Hindered(Hindrance.Obstructed, name);
            }
        }

        return (columns, hindered);
    }

    private Hindered Aim(Lantern lantern, int index, int p, List<LightColumn> columns)
    {
        var face = _positions[p].Point;
        if (Ways(lantern, face) is not { } straight)
        {
            return new Hindered(Hindrance.OutOfReach, "");
        }

        if (Between(lantern, straight.Lens, face) is { Length: > 0 } name)
        {
            return new Hindered(Hindrance.Obstructed, name);
        }

        var seen = Seen(lantern, straight.Lens, new Hindered[_positions.Count]);
        var hindered = default(Hindered);
        foreach (var over in s_over)
        {
            var target = face + (Vector3.UnitZ * over);
            if ((over == 0 ? straight : Ways(lantern, target)) is not { } way)
            {
                continue;
            }

            var last = Try(lantern, index, p, target, way.Turn, (way.Pan, way.Tilt, way.Lens), seen, columns);
            hindered = over == 0 ? last : hindered;
            if (last.What == Hindrance.Free)
            {
                return last;
            }
        }

        return hindered;
    }

    /// <summary>How a lantern's beams turn to look at a point; null where it can't.</summary>
    private static (Quaternion Turn, float? Pan, float? Tilt, Vector3 Lens)? Ways(Lantern lantern, Vector3 target)
    {
        var beam = lantern.Zooms.SelectMany(z => z.Beams).First();
        if (lantern.Kind == LanternKind.Head)
        {
            if (PanTilt.Aim(lantern.Fixture, target, lantern.Root) is not [var s, ..])
            {
                return null;
            }

            var (lens, direction) = PanTilt.Beam(lantern.Fixture, s.PanDegrees, s.TiltDegrees, lantern.Root)!.Value;
            return (Between(beam.Axis, direction), s.PanDegrees, s.TiltDegrees, lens);
        }

        var turn = VenueAims.Aimed(lantern.Root, target).Orientation * Quaternion.Conjugate(lantern.Root.Orientation);
        return (turn, null, null, lantern.Root.Position + Vector3.Transform(Lens(beam) - lantern.Root.Position, turn));
    }

    /// <summary>Adds a column for each zoom whose beams keep out of the audience and the cameras; why none does.</summary>
    private Hindered Try(Lantern lantern, int index, int aim, Vector3 target, Quaternion turn, (float? Pan, float? Tilt, Vector3? Lens) head, bool[] seen,
        List<LightColumn> columns)
    {
        var (any, hindered) = (false, default(Hindered));
        foreach (var (zoom, beams) in lantern.Zooms)
        {
            var turned = beams.Select(b => Turned(b, lantern, turn, beams[0], head.Lens)).ToArray();
            if (turned.Length == 0)
            {
                continue;
            }

            if (Dazzled(turned) is { What: not Hindrance.Free } h)
            {
                hindered = hindered.What == Hindrance.Free ? h : hindered;
                continue;
            }

            any = true;
            if (Column(index, aim, target, turned, seen) is { } column)
            {
                columns.Add(column with { Pan = head.Pan, Tilt = head.Tilt, Zoom = zoom });
            }
        }

        return any ? default : hindered;
    }

    private Hindered Dazzled(Beam[] beams)
    {
        foreach (var b in beams)
        {
            var cone = new FieldCone(b.Apex, b.Axis, HalfField(b), b.StartDistance, b.Fixture);
            foreach (var volume in _audience)
            {
                if (cone.Enters(_scene, volume, out _))
                {
                    return new Hindered(Hindrance.Audience, volume.Name);
                }
            }

            foreach (var camera in _rig.NamesCameras ? _rig.Cameras : [])
            {
                if (cone.Dazzles(_scene, camera.Position, Angles.Radians(_asked.CameraDegrees)))
                {
                    return new Hindered(Hindrance.Camera, camera.Name);
                }
            }
        }

        return default;
    }

    private LightColumn? Column(int index, int aim, Vector3 target, Beam[] beams, bool[] seen)
    {
        var (at, face, flat, cylinder, side) = (new List<int>(), new List<float>(), new List<float>(), new List<float>(), new List<float>());
        var cost = 0.0;
        for (var p = 0; p < _positions.Count; p++)
        {
            var point = _positions[p].Point;
            var (e, h, c) = (0f, 0f, 0f);
            foreach (var b in seen[p] ? beams : [])
            {
                var to = point - b.Apex;
                var distance = to.Length();
                var direction = to / distance;
                if (!(Vector3.Dot(direction, b.Axis) > 0) || distance < BeamPhotometry.StartAlong(b, direction))
                {
                    continue;
                }

                // E = I·cos(incidence)/d², and what the haze leaves (inverse square and cosine laws, IES Lighting Handbook).
                var lux = BeamPhotometry.Candela(_moment, b, direction, distance) / (distance * distance) * _haze.HazeOver(distance - b.StartDistance)
                    / (float)_asked.Least;
                e += lux * ActingPosition.Weight(_quantity, point, -direction);
                h += lux * MathF.Max(0, -direction.Z);
                c += lux * MathF.Sqrt(MathF.Max(0, 1 - (direction.Z * direction.Z))) / MathF.PI;
            }

            if (e + h + c < 1e-3f)
            {
                continue;
            }

            var angles = LightAngles.Of(point, ActingPosition.Facing(_quantity, point), Lens(beams[0]));
            at.Add(p);
            face.Add(e);
            flat.Add(h);
            cylinder.Add(c);
            side.Add(e * angles.Side);
            cost += e * angles.Cost;
        }

        return at.Count == 0 || face.TrueForAll(e => e < 1e-3f) ? null : new LightColumn
        {
            Lantern = index, Aim = aim, Target = target, Lens = Lens(beams[0]), Axis = beams[0].Axis, HalfField = beams.Max(b => HalfField(b)),
            At = [.. at], Face = [.. face], Flat = [.. flat], Cylinder = [.. cylinder], Side = [.. side],
            Cost = cost * LevelFit.Share(_positions.Count),
        };
    }

    /// <summary>Which positions a lens sees; what hides others is noted.</summary>
    private bool[] Seen(Lantern lantern, Vector3 lens, Hindered[] hindered)
    {
        var seen = new bool[_positions.Count];
        for (var p = 0; p < seen.Length; p++)
        {
            var name = Between(lantern, lens, _positions[p].Point);
            seen[p] = name.Length == 0;
            hindered[p] = seen[p] ? default : new Hindered(Hindrance.Obstructed, name);
        }

        return seen;
    }

    /// <summary>The first thing between a lens and a point, by name; empty where there is none.</summary>
    private string Between(Lantern lantern, Vector3 lens, Vector3 point)
    {
        var to = point - lens;
        var length = to.Length();
        return length < 1e-3f || !_scene.Closest(lens, to / length, length - LightMeter.Lift, lantern.Fixture.Index, out var hit) ? ""
            : Texts.Surface(_moment, _rig, hit.Instance, hit.Mirror) is { Length: > 0 } name ? name : "something";
    }

    /// <summary>Of the cone that holds a beam's field, rad; a rectangle's is its corners'.</summary>
    private static float HalfField(in Beam b) => b.Profile.Form == BeamForm.Rectangle ? b.Profile.CutoffRadians : b.Profile.HalfFieldRadians;

    private static Vector3 Lens(in Beam b) => b.Apex + (b.Axis * b.StartDistance);

    private static Beam Turned(Beam b, Lantern lantern, Quaternion turn, in Beam first, Vector3? lens)
    {
        var (from, to) = lens is { } l ? (Lens(first), l) : (lantern.Root.Position, lantern.Root.Position);
        return b with
        {
            Apex = to + Vector3.Transform(b.Apex - from, turn),
            Axis = Vector3.Normalize(Vector3.Transform(b.Axis, turn)),
            Up = Vector3.Transform(b.Up, turn),
        };
    }

    /// <summary>The shortest turn from one unit vector to another.</summary>
    private static Quaternion Between(Vector3 from, Vector3 to)
    {
        var dot = Vector3.Dot(from, to);
        if (dot < -.999999f)
        {
            var side = Vector3.Normalize(Vector3.Cross(from, MathF.Abs(from.X) < .9f ? Vector3.UnitX : Vector3.UnitY));
            return new Quaternion(side, 0);
        }

        return Quaternion.Normalize(new Quaternion(Vector3.Cross(from, to), 1 + dot));
    }
}
