using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Programs;

namespace StageView.Stage.Heads;

/// <summary>A part of a fixture with every axis between it and the ground, those of what carries the fixture too.</summary>
public sealed class AxisChain
{
    private readonly List<Link> _links = [];

    private AxisChain()
    {
    }

    /// <summary>Whether any axis has a range.</summary>
    public bool Moves => _links.Exists(l => l.To > l.From);

    /// <summary>Where the part is while all axes stand at rest.</summary>
    public Pose Rest => At([]);

    /// <param name="rig">The rig.</param>
    /// <param name="fixture">One of its fixtures.</param>
    /// <param name="geometry">Place of the part in the fixture's mode.</param>
    public static AxisChain Of(RigScene rig, Fixture fixture, int geometry)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(fixture);
        var chain = new AxisChain();
        if (fixture.Carrier is { } carrier)
        {
            chain._links.AddRange(Of(rig, rig.Fixtures[carrier.Fixture.Value], carrier.Geometry)._links);
        }

        chain._links.Add(new Link(fixture.Pose, null, 0, 0));
        var path = new List<GeometryNode>();
        for (var i = geometry; i >= 0; i = fixture.Mode.Geometry[i].Parent)
        {
            path.Insert(0, fixture.Mode.Geometry[i]);
        }

        foreach (var node in path)
        {
            var (from, to) = node.Axis is { } axis ? Range(fixture, node, axis.Motion) : (0, 0);
            chain._links.Add(new Link(node.Pose, node.Axis?.Motion, from, to));
        }

        return chain;
    }

    /// <summary>Positions of the part in steps over all axes.</summary>
    /// <param name="most">About how many at most; the steps of turns grow until it holds.</param>
    /// <param name="travelStep">m.</param>
    /// <returns>Poses, each with how far off in angle (rad) and in place (m) any position between them can be.</returns>
    public IEnumerable<(Pose Pose, float Slack, float Away)> Positions(int most, float travelStep)
    {
        var step = 1f;
        while (Counts(step, travelStep).Aggregate(1.0, (a, b) => a * b) > most)
        {
            step *= 1.25f;
        }

        var counts = Counts(step, travelStep);
        var turns = _links.Count(l => l.IsTurn);
        var slack = turns == 0 ? 0 : Angles.Radians(step) / 2 * MathF.Sqrt(turns);
        var lever = _links.Skip(1).Sum(l => l.Pose.Position.Length());
        var away = (slack * lever) + (_links.Exists(l => l.Motion == AxisMotion.TravelZ && l.To > l.From) ? travelStep / 2 : 0);
        var values = new float[_links.Count];
        var total = counts.Aggregate(1L, (a, b) => a * b);
        for (var k = 0L; k < total; k++)
        {
            var rest = k;
            for (var i = 0; i < counts.Length; i++)
            {
                var at = (int)(rest % counts[i]);
                rest /= counts[i];
                values[i] = counts[i] == 1 ? (_links[i].From + _links[i].To) / 2 : float.Lerp(_links[i].From, _links[i].To, at / (counts[i] - 1f));
            }

            yield return (At(values), slack, away);
        }
    }

    /// <summary>Balls that hold a ball of the part in every position, world, m.</summary>
    public IReadOnlyList<(Vector3 Centre, float Radius)> Swept(Vector3 centre, float radius, float travelStep)
    {
        List<(Vector3 Centre, float Radius)> balls = [(centre, radius)];
        for (var i = _links.Count - 1; i >= 0; i--)
        {
            var link = _links[i];
            balls = link switch
            {
                { IsTurn: true } => [.. balls.Select(b => (Vector3.Zero, b.Centre.Length() + b.Radius))],
                { Motion: AxisMotion.TravelZ } when link.To > link.From => [.. balls.SelectMany(b => Travelled(b, link, Math.Max(travelStep, b.Radius)))],
                _ => balls,
            };
            balls = [.. balls.Select(b => (link.Pose.TransformPoint(b.Centre), b.Radius))];
        }

        return balls;
    }

    private static IEnumerable<(Vector3 Centre, float Radius)> Travelled((Vector3 Centre, float Radius) ball, Link link, float step)
    {
        // The axis runs along the parent's z, which the link's own pose may turn.
        var up = Vector3.Transform(Vector3.UnitZ, Quaternion.Conjugate(link.Pose.Orientation));
        for (var z = link.From; ; z += step)
        {
            yield return (ball.Centre + (up * Math.Min(z, link.To)), ball.Radius + (step / 2));
            if (z >= link.To)
            {
                yield break;
            }
        }
    }

    private int[] Counts(float turnStep, float travelStep) =>
        [.. _links.Select(l => l.To <= l.From ? 1 : 1 + (int)MathF.Ceiling((l.To - l.From) / (l.IsTurn ? turnStep : travelStep)))];

    private Pose At(ReadOnlySpan<float> values)
    {
        var pose = Pose.Identity;
        for (var i = 0; i < _links.Count; i++)
        {
            var (link, value) = (_links[i], i < values.Length ? values[i] : 0);
            var own = link.Pose;
            if (link.Motion == AxisMotion.TravelZ)
            {
                own = own with { Position = own.Position + new Vector3(0, 0, value) };
            }
            else if (link.Motion is { } turn)
            {
                var (sin, cos) = Trig.SinCos(Angles.Radians(value) / 2);
                own = own with { Orientation = own.Orientation * (turn == AxisMotion.TurnZ ? new Quaternion(0, 0, sin, cos) : new Quaternion(sin, 0, 0, cos)) };
            }

            pose = pose.Compose(own);
        }

        return pose;
    }

    /// <summary>What the channels of an axis can ask for, within the rig's limits; an axis that turns without end has a whole turn.</summary>
    private static (float From, float To) Range(Fixture fixture, GeometryNode node, AxisMotion motion)
    {
        var (still, endless) = motion switch
        {
            AxisMotion.TurnZ => (AttributeOp.Pan, AttributeOp.PanTurn),
            AxisMotion.TurnX => (AttributeOp.Tilt, AttributeOp.TiltTurn),
            _ => (AttributeOp.Travel, AttributeOp.Travel),
        };
        var functions = fixture.Mode.Channels.SelectMany(c => c.Functions.Select(f => (c.Geometry, Function: f, Op: AttributeNames.Read(f.Attribute, out _))))
            .Where(f => f.Op == still || f.Op == endless).ToList();
        functions = functions.Exists(f => f.Geometry == node.Index) ? functions.FindAll(f => f.Geometry == node.Index) : functions;
        if (functions.Count == 0)
        {
            return (0, 0);
        }

        var (from, to) = functions.Exists(f => f.Op == endless && endless != still) ? (-180f, 180f) : (float.PositiveInfinity, float.NegativeInfinity);
        foreach (var f in functions.Where(f => f.Op == still))
        {
            from = Math.Min(from, Math.Min(f.Function.PhysicalFrom, f.Function.PhysicalTo));
            to = Math.Max(to, Math.Max(f.Function.PhysicalFrom, f.Function.PhysicalTo));
        }

        var limit = motion == AxisMotion.TurnZ ? fixture.PanLimit : motion == AxisMotion.TurnX ? fixture.TiltLimit : null;
        return limit is { } l ? (Math.Max(from, Math.Min(l.From, l.To)), Math.Min(to, Math.Max(l.From, l.To))) : (from, to);
    }

    /// <param name="Pose">Placement in what holds it.</param>
    /// <param name="Motion">How it moves, or null.</param>
    /// <param name="From">Lowest value, degrees or m.</param>
    /// <param name="To">Highest value.</param>
    private sealed record Link(Pose Pose, AxisMotion? Motion, float From, float To)
    {
        public bool IsTurn => Motion is AxisMotion.TurnZ or AxisMotion.TurnX && To > From;
    }
}
