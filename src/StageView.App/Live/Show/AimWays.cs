using System.Globalization;
using System.Numerics;
using StageView.Light;
using StageView.Rig;
using StageView.Stage;

namespace StageView.App.Live;

/// <summary>Every way a fixture can put its beam on a point: straight, and by way of one mirror.</summary>
internal static class AimWays
{
    public static AimCard Find(RigScene rig, Moment moment, OcclusionScene scene, Fixture fixture, FixtureState now, Vector3 target)
    {
        var ways = new List<AimWay>();
        var refusals = new List<string>();
        var (pan, tilt) = (Angle(now, "Pan"), Angle(now, "Tilt"));
        var axes = Travel(fixture);
        if (fixture.Carrier is not null)
        {
            refusals.Add("it is carried by another fixture; its place changes with that one's height");
        }

        var lens = now.Emitters.Count > 0 ? now.Emitters[0].Position : fixture.Pose.Position;
        var direct = PanTilt.Aim(fixture, target);
        if (direct.Count == 0)
        {
            refusals.Add("direct: outside the pan and tilt limits, or it has no such axes");
        }
        else if (scene.Blocked(lens, target, exceptFixture: fixture.Index, gap: .05f))
        {
            scene.Closest(lens, Vector3.Normalize(target - lens), 500, fixture.Index, out var by);
            refusals.Add($"direct: {NameOf(moment, by)} stands in the way after {by.Distance.ToString("0.0", CultureInfo.InvariantCulture)} m");
        }
        else
        {
            ways.AddRange(direct.Select(s => Way("direct", s, 1)));
        }

        var missed = 0;
        Span<Vector3> meets = stackalloc Vector3[1];
        for (var m = 0; m < moment.Mirrors.Length; m++)
        {
            if (!MirrorAim.TryPath(moment, lens, target, [m], meets, out _))
            {
                missed++;
                continue;
            }

            var name = MirrorName(moment, m);
            if (scene.Blocked(lens, meets[0], m, exceptFixture: fixture.Index, gap: .05f) || scene.Blocked(meets[0], target, m, exceptFixture: fixture.Index, gap: .05f))
            {
                refusals.Add($"by way of {name}: something stands in the way");
                continue;
            }

            // The point to aim straight at lies behind the mirror; the lens moves a little as the head turns, so the way is worked out again from there.
            var image = MirrorAim.ImageOfTarget(moment, lens, target, [m]);
            var solutions = PanTilt.Aim(fixture, image);
            if (solutions.Count == 0)
            {
                refusals.Add($"by way of {name}: outside the pan and tilt limits");
                continue;
            }

            ways.AddRange(solutions.Select(s => Way(name, s, moment.Mirrors.Span[m].Reflectance)));
        }

        if (missed > 0)
        {
            refusals.Add($"{missed} of {moment.Mirrors.Length} mirrors: the way off them to this point misses their edge");
        }

        ways.Sort((a, b) => a.MoveSeconds.CompareTo(b.MoveSeconds));
        return new AimCard(fixture.Index, fixture.Name, [target.X, target.Y, target.Z], [.. ways.Take(12).Select((w, i) => w with { Shortest = i == 0 })], refusals);

        AimWay Way(string via, PanTiltSolution s, float arrives)
        {
            var (dp, dt) = (Math.Abs(s.PanDegrees - pan), Math.Abs(s.TiltDegrees - tilt));
            var seconds = Math.Max(Seconds(dp, axes.Pan), Seconds(dt, axes.Tilt));
            return new AimWay(via, s.PanDegrees, s.TiltDegrees, Math.Max(dp, dt), seconds, arrives, false, Dmx(rig, fixture, s));
        }
    }

    /// <summary>Addresses and bytes that a console would send for a pan and tilt.</summary>
    private static List<string> Dmx(RigScene rig, Fixture fixture, PanTiltSolution s)
    {
        var levels = new LevelsEncoder(rig);
        var lines = new List<string>();
        foreach (var (attribute, degrees) in new[] { ("Pan", s.PanDegrees), ("Tilt", s.TiltDegrees) })
        {
            if (!levels.TrySet(fixture, attribute, degrees, out _))
            {
                continue;
            }

            var channel = fixture.Mode.Channels.FirstOrDefault(c => c.Functions.Any(f => f.Attribute == attribute));
            var start = fixture.Patch.FirstOrDefault(p => p.Break == channel?.Break);
            if (channel is null || channel.Offsets.Count == 0 || fixture.Patch.Count == 0)
            {
                continue;
            }

            var raw = levels.RawOf(fixture, channel);
            for (var i = 0; i < channel.Offsets.Count; i++)
            {
                var address = Wire.UniverseAddress.FromAbsolute(start.Start.Absolute + channel.Offsets[i] - 1);
                lines.Add($"{address} = {(raw >> (8 * (channel.Offsets.Count - 1 - i))) & 255}");
            }
        }

        return lines;
    }

    private static double Angle(FixtureState state, string attribute) => state.Attributes.FirstOrDefault(a => a.Attribute == attribute)?.Now ?? 0;

    private static (AxisData? Pan, AxisData? Tilt) Travel(Fixture fixture)
    {
        AxisData? Axis(AxisMotion motion) => fixture.Mode.Geometry.Select(g => g.Axis).FirstOrDefault(a => a?.Motion == motion);
        return (Axis(AxisMotion.TurnZ), Axis(AxisMotion.TurnX));
    }

    /// <summary>Time of a move from rest to rest: t = d/v + v/a where the top speed v is reached, else 2·√(d/a).</summary>
    private static double Seconds(double degrees, AxisData? axis)
    {
        if (axis is null || axis.TopSpeed <= 0)
        {
            return 0;
        }

        var (v, a) = ((double)axis.TopSpeed, (double)axis.Acceleration);
        var travel = a <= 0 ? degrees / v : degrees >= v * v / a ? (degrees / v) + (v / a) : 2 * Math.Sqrt(degrees / a);
        return travel + (degrees > 0 ? axis.SettleSeconds : 0);
    }

    internal static string MirrorName(Moment moment, int mirror)
    {
        var name = moment.Mirrors.Span[mirror].Name;
        return name >= 0 && name < moment.MirrorNames.Count ? moment.MirrorNames[name] : "a mirror";
    }

    internal static string NameOf(Moment moment, in SceneHit hit)
    {
        if (hit.Mirror >= 0)
        {
            return MirrorName(moment, hit.Mirror);
        }

        var name = hit.Instance >= 0 ? moment.Scenery.Span[hit.Instance].Name : -1;
        return name >= 0 && name < moment.SceneryNames.Count ? moment.SceneryNames[name] : "something";
    }
}
