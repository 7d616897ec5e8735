using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Programs;

namespace StageView.Stage.Heads;

/// <summary>A fixture's way from its hook to its lens, with the pan and tilt axes on it.</summary>
internal sealed class HeadChain
{
    private readonly Pose _root;
    private readonly GeometryNode[] _path;

    private HeadChain(Pose root, GeometryNode[] path) => (_root, _path) = (root, path);

    public (float From, float To) Pan { get; private init; }

    public (float From, float To) Tilt { get; private init; }

    public AngleRange PanRange => new(Pan.From, Pan.To);

    public AngleRange TiltRange => new(Tilt.From, Tilt.To);

    /// <summary>Pan above tilt, no turned mounting between them, the lens looking along the head's -Z.</summary>
    public bool IsUsualHead { get; private init; }

    /// <summary>Whether what is aimed is a mirror's normal, along +Z, instead of a beam along -Z.</summary>
    public bool IsMirror { get; private init; }

    public static HeadChain? Of(Fixture fixture, Pose root, bool mirror = false)
    {
        var nodes = fixture.Mode.Geometry;
        foreach (var lens in nodes.Where(n => mirror ? n.Mirror is not null : n.Beam is not null || n.Laser is not null))
        {
            var path = new List<GeometryNode>();
            for (var i = lens.Index; i >= 0; i = nodes[i].Parent)
            {
                path.Add(nodes[i]);
            }

            path.Reverse();
            var pan = path.FindIndex(n => n.Axis?.Motion == AxisMotion.TurnZ);
            var tilt = path.FindIndex(n => n.Axis?.Motion == AxisMotion.TurnX);
            if (pan < 0 && tilt < 0)
            {
                continue;
            }

            var usual = !mirror && pan >= 0 && tilt > pan
                && path.Skip(pan + 1).All(n => Math.Abs(n.Pose.Orientation.W) > .99999f);
            return new HeadChain(root, [.. path])
            {
                IsMirror = mirror,
                Pan = Limit(Range(fixture, AttributeOp.Pan, pan >= 0), fixture.PanLimit),
                Tilt = Limit(Range(fixture, AttributeOp.Tilt, tilt >= 0), fixture.TiltLimit),
                IsUsualHead = usual,
            };
        }

        return null;
    }

    public (Vector3 Position, Vector3 Direction) Forward(double pan, double tilt)
    {
        var pose = _root;
        foreach (var n in _path)
        {
            pose = pose.Compose(n.Pose);
            var turn = n.Axis?.Motion switch { AxisMotion.TurnZ => pan, AxisMotion.TurnX => tilt, _ => 0 };
            if (turn != 0)
            {
                var (sin, cos) = Math.SinCos(turn * Math.PI / 360);
                var q = n.Axis!.Motion == AxisMotion.TurnZ ? new Quaternion(0, 0, (float)sin, (float)cos) : new Quaternion((float)sin, 0, 0, (float)cos);
                pose = pose with { Orientation = pose.Orientation * q };
            }
        }

        return (pose.Position, pose.TransformDirection(IsMirror ? Vector3.UnitZ : -Vector3.UnitZ));
    }

    /// <summary>From the tilt axis at rest to the target, in the pan axis's frame.</summary>
    public Vector3 ToPan(Vector3 target)
    {
        var pose = _root;
        var panPose = _root;
        foreach (var n in _path)
        {
            pose = pose.Compose(n.Pose);
            if (n.Axis?.Motion == AxisMotion.TurnZ)
            {
                panPose = pose;
            }

            if (n.Axis?.Motion == AxisMotion.TurnX)
            {
                break;
            }
        }

        return Vector3.Transform(target - pose.Position, Quaternion.Conjugate(panPose.Orientation));
    }

    /// <summary>Angles by which the beam passes the target, across and up, rad (as tangents; large when it looks the other way).</summary>
    public (double Across, double Up) Error(Vector3 target, double pan, double tilt)
    {
        var (position, direction) = Forward(pan, tilt);
        var to = Vector3.Normalize(target - position);
        var side = Vector3.Normalize(Vector3.Cross(Math.Abs(to.Z) < .9f ? Vector3.UnitZ : Vector3.UnitX, to));
        var up = Vector3.Cross(to, side);
        var ahead = Math.Max(.1f, Vector3.Dot(direction, to));
        return (Vector3.Dot(direction, side) / ahead, Vector3.Dot(direction, up) / ahead);
    }

    /// <summary>Distance of the beam's axis from the target, m; the whole distance when it looks the other way.</summary>
    public float Miss(Vector3 target, double pan, double tilt)
    {
        var (position, direction) = Forward(pan, tilt);
        var along = Vector3.Dot(target - position, direction);
        return Vector3.Distance(target, position + (direction * Math.Max(0, along)));
    }

    private static (float From, float To) Range(Fixture fixture, AttributeOp op, bool exists)
    {
        if (!exists)
        {
            return (0, 0);
        }

        foreach (var f in fixture.Mode.Channels.SelectMany(c => c.Functions))
        {
            if (AttributeNames.Read(f.Attribute, out _) == op)
            {
                return (Math.Min(f.PhysicalFrom, f.PhysicalTo), Math.Max(f.PhysicalFrom, f.PhysicalTo));
            }
        }

        return (0, 0);
    }

    private static (float From, float To) Limit((float From, float To) range, (float From, float To)? limit) => limit is { } l
        ? (Math.Max(range.From, Math.Min(l.From, l.To)), Math.Min(range.To, Math.Max(l.From, l.To)))
        : range;
}
