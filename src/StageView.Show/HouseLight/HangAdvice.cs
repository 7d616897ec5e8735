using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Questions;

namespace StageView.Show.HouseLight;

/// <summary>What the house would have to hang for positions that its lanterns don't hold.</summary>
internal sealed class HangAdvice
{
    /// <summary>Positions within such a distance of the first are asked for together, m.</summary>
    private const float Together = 2.5f;

    /// <summary>What a beam covers beyond the outermost position, degrees on each side.</summary>
    private const float Spare = 3;

    /// <summary>Light that changes cylindrical less a share of horizontal illuminance by less than this share of itself isn't asked for.</summary>
    private const float LeastChange = .05f;

    private static readonly float[] s_elevations = [45, 40, 50, 35, 55];
    private static readonly float[] s_azimuths = [45, 35, 55, 25];
    private readonly RigScene _rig;
    private readonly Moment _moment;
    private readonly OcclusionScene _scene;
    private readonly Quantity _quantity;
    private readonly (double Low, double High) _modelling;
    private readonly LightMeter _haze;
    private readonly float _height;
    private readonly float _cameraRadians;
    private readonly IReadOnlyList<WatchedVolume> _audience;

    /// <param name="rig">The rig.</param>
    /// <param name="asked">What is wanted.</param>
    /// <param name="moment">A moment of the rig.</param>
    /// <param name="scene">What stands in the way.</param>
    /// <param name="height">Where the house hangs its lanterns, m over the origin.</param>
    public HangAdvice(RigScene rig, HouseLightAsked asked, Moment moment, OcclusionScene scene, float height)
    {
        (_rig, _moment, _scene, _quantity, _height, _modelling) = (rig, moment, scene, asked.Quantity(rig), height, asked.Range);
        _cameraRadians = Angles.Radians(asked.CameraDegrees);
        _haze = new LightMeter(moment, null, asked.Settings with { PixelSurfaces = false });
        _audience = [.. rig.Volumes.Where(v => v.Kind == CautionVolumeKind.Audience).Select(v => new WatchedVolume(v.Name, false, v.Pose, v.Size))];
    }

    public IReadOnlyList<HangAsked> For(IReadOnlyList<Unheld> unheld)
    {
        var open = unheld.ToList();
        var asked = new List<HangAsked>();
        while (open.Count > 0)
        {
            var first = open[0].Position.Point;
            var group = open.FindAll(d => Vector3.Distance(d.Position.Point, first) <= Together);
            open.RemoveAll(group.Contains);
            var (left, right) = (group.Sum(d => d.Left), group.Sum(d => d.Right));
            foreach (var side in left > 2 * right ? (float[])[1] : right > 2 * left ? [-1] : [-1, 1])
            {
                asked.Add(Hang(group, side, left > 2 * right || right > 2 * left ? 1 : .5f));
            }
        }

        return asked;
    }

    private HangAsked Hang(List<Unheld> group, float side, float share)
    {
        var middle = group.Aggregate(Vector3.Zero, (sum, d) => sum + d.Position.Point) / group.Count;
        HangAsked? first = null;
        foreach (var elevation in s_elevations)
        {
            foreach (var azimuth in s_azimuths)
            {
                var hang = At(group, middle, elevation, azimuth * side, share);
                first ??= hang;
                if (hang.Trouble.Length == 0)
                {
                    return hang;
                }
            }
        }

        return first!;
    }

    private HangAsked At(List<Unheld> group, Vector3 middle, float elevation, float azimuth, float share)
    {
        var facing = ActingPosition.Facing(_quantity, middle);
        var (up, beside) = (Trig.SinCos(Angles.Radians(elevation)), Trig.SinCos(Angles.Radians(azimuth)));
        var towards = (((facing * beside.Cos) + (new Vector3(-facing.Y, facing.X, 0) * beside.Sin)) * up.Cos) + (Vector3.UnitZ * up.Sin);
        var way = Math.Clamp((_height - middle.Z) / up.Sin, 4, 25);
        var at = middle + (towards * way);
        var (candela, half) = (0f, 0f);
        var (lux, shapes) = (0f, true);
        foreach (var dark in group)
        {
            var to = at - dark.Position.Point;
            var distance = to.Length();
            var weight = MathF.Max(.05f, ActingPosition.Weight(_quantity, dark.Position.Point, to / distance));
            shapes &= TryFacing(dark, weight, up, out var wanted);
            // I = E·d²/cos, the inverse of E = I·cos/d²; haze on the way is added.
            candela = MathF.Max(candela, share * wanted * distance * distance / _haze.HazeOver(distance));
            lux = MathF.Max(lux, share * wanted * weight);
            half = MathF.Max(half, Trig.Acos(Math.Clamp(Vector3.Dot(to / distance, towards), -1, 1)));
        }

        var cone = MathF.Max(10, 2 * (Angles.Degrees(half) + Spare));
        return new HangAsked
        {
            At = at, Seen = LightAngles.Of(middle, facing, at), Candela = candela, ConeDegrees = cone,
            For = ActingPosition.Runs(group.Select(d => d.Position)), Lux = lux,
            Trouble = shapes ? Trouble(group, at, middle, Angles.Radians(cone / 2)) : "from there it would hardly change the modelling",
        };
    }

    /// <summary>
    /// What light from one elevation must give a plane that faces it, lx, so that a position has its least light and its modelling: h + N·sin ε and
    /// y + N·cos ε/π afterwards. False where such light hardly changes the modelling.
    /// </summary>
    private bool TryFacing(in Unheld dark, float weight, (float Sin, float Cos) up, out float wanted)
    {
        wanted = dark.Lacks / weight;
        var (low, high) = ((float)_modelling.Low, (float)_modelling.High);
        var (flatter, steeper) = ((low * dark.Flat) - dark.Cylinder, dark.Cylinder - (high * dark.Flat));
        if (dark.Lacks > 0 || (flatter <= 0 && steeper <= 0))
        {
            return true;
        }

        var each = flatter > 0 ? (up.Cos / MathF.PI) - (low * up.Sin) : (high * up.Sin) - (up.Cos / MathF.PI);
        wanted = MathF.Max(flatter, steeper) / MathF.Max(LeastChange, each);
        return each >= LeastChange;
    }

    private string Trouble(List<Unheld> group, Vector3 at, Vector3 middle, float half)
    {
        foreach (var dark in group)
        {
            var to = dark.Position.Point - at;
            var length = to.Length();
            if (_scene.Closest(at, to / length, length - LightMeter.Lift, FixtureIndex.None, out var hit))
            {
                return Texts.Surface(_moment, _rig, hit.Instance, hit.Mirror) is { Length: > 0 } name ? $"{name} is in the way" : "something is in the way";
            }
        }

        var cone = new FieldCone(at, Vector3.Normalize(middle - at), half, 0, FixtureIndex.None);
        return _audience.FirstOrDefault(v => cone.Enters(_scene, v, out _)) is { } volume ? $"its beam would enter {volume.Name}: cut it there"
            : _rig.NamesCameras && _rig.Cameras.FirstOrDefault(c => cone.Dazzles(_scene, c.Position, _cameraRadians)) is { } camera
                ? $"its beam would enter the lens of camera {camera.Name}" : "";
    }
}

/// <summary>A position that isn't held.</summary>
/// <param name="Position">Which.</param>
/// <param name="Lacks">lx; 0 where only its modelling is wrong.</param>
/// <param name="Left">lx from the audience's left.</param>
/// <param name="Right">lx from its right.</param>
/// <param name="Flat">Of a horizontal plane, lx.</param>
/// <param name="Cylinder">Of a cylinder, lx.</param>
internal readonly record struct Unheld(ActingPosition Position, float Lacks, float Left, float Right, float Flat, float Cylinder);
