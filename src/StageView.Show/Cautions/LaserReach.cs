using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Heads;

namespace StageView.Show.Cautions;

/// <summary>
/// Mirrors that a laser's rays could meet in any position of the axes that carry it, in any figure of its profile, and in any position of what carries the
/// mirror. Mirrors count as the balls about them, and positions are tried in steps whose width is added to the balls: none is missed, some are named that a
/// ray passes by.
/// </summary>
internal static class LaserReach
{
    private const int MostPositions = 40_000;
    private const float TravelStep = 0.5f;

    public static IReadOnlyList<LaserMirror> Of(RigScene rig, LaserGroups groups, IReadOnlySet<(int Group, string Mirror)> met)
    {
        var mirrors = Mirrors(rig);
        var found = new List<LaserMirror>();
        for (var g = 0; g < groups.Count && mirrors.Count > 0; g++)
        {
            var fixture = groups[g].Fixture;
            var spread = Spread(rig, fixture, groups.Apertures(g));
            var nearest = new double[mirrors.Count];
            Array.Fill(nearest, double.PositiveInfinity);
            var turns = spread > 0;
            foreach (var aperture in groups.Apertures(g))
            {
                var chain = AxisChain.Of(rig, fixture, aperture.Index);
                turns |= chain.Moves;
                foreach (var (pose, slack, away) in chain.Positions(MostPositions, TravelStep))
                {
                    var direction = pose.TransformDirection(-Vector3.UnitZ);
                    for (var m = 0; m < mirrors.Count; m++)
                    {
                        if (Meets(pose.Position, direction, spread + slack, away, mirrors[m], out var metres))
                        {
                            nearest[m] = Math.Min(nearest[m], metres);
                        }
                    }
                }
            }

            for (var m = 0; m < mirrors.Count; m++)
            {
                var isMet = met.Contains((g, mirrors[m].Name));
                if (isMet || double.IsFinite(nearest[m]))
                {
                    found.Add(new LaserMirror(fixture.Name, mirrors[m].Name, turns, mirrors[m].Moves,
                        double.IsFinite(nearest[m]) ? nearest[m] : Vector3.Distance(AxisChain.Of(rig, fixture, groups[g].First.Index).Rest.Position,
                            mirrors[m].Balls[0].Centre), isMet));
                }
            }
        }

        return found;
    }

    private static bool Meets(Vector3 origin, Vector3 direction, float spread, float away, ReachedMirror mirror, out double metres)
    {
        metres = 0;
        if (mirror.Face is { } face && Vector3.Dot(origin - face.Point, face.Normal) < -away)
        {
            return false;
        }

        foreach (var (centre, radius) in mirror.Balls)
        {
            var to = centre - origin;
            metres = to.Length();
            var ball = radius + away;
            if (metres <= ball || Trig.Acos(Math.Clamp(Vector3.Dot(to, direction) / (float)metres, -1, 1)) <= spread + Trig.Asin(ball / (float)metres))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>The farthest that any figure of the profile leads away from its middle, rad.</summary>
    private static float Spread(RigScene rig, Fixture fixture, IReadOnlyList<GeometryNode> apertures) =>
        fixture.Profile.Wheels.SelectMany(w => w.Slots).Select(s => s.Scan).Concat(apertures.Select(a => a.Laser!.Scan)).Where(s => s > 0)
            .SelectMany(s => rig.Scans[s - 1].Points).Where(p => p.Share > 0).Select(p => p.Direction.Length()).DefaultIfEmpty(0).Max();

    private static List<ReachedMirror> Mirrors(RigScene rig)
    {
        var all = new List<ReachedMirror>();
        foreach (var m in rig.Mirrors)
        {
            var normal = Vector3.Normalize(Vector3.Cross(m.Corners[1] - m.Corners[0], m.Corners[2] - m.Corners[1]));
            all.Add(new ReachedMirror(m.Name, [Ball(m.Corners)], false, (m.Corners[0], normal)));
        }

        foreach (var f in rig.Fixtures)
        {
            foreach (var node in f.Mode.Geometry.Where(n => n.Mirror is not null))
            {
                var chain = AxisChain.Of(rig, f, node.Index);
                var ball = Ball(node.Mirror!.Corners);
                (Vector3, Vector3)? face = chain.Moves ? null : (chain.Rest.Position, chain.Rest.TransformDirection(Vector3.UnitZ));
                all.Add(new ReachedMirror(f.Name + "/" + node.Name, chain.Swept(ball.Centre, ball.Radius, TravelStep), chain.Moves, face));
            }
        }

        return all;
    }

    private static (Vector3 Centre, float Radius) Ball(Vector3[] corners)
    {
        var centre = corners.Aggregate(Vector3.Add) / corners.Length;
        return (centre, corners.Max(c => Vector3.Distance(c, centre)));
    }

    /// <param name="Name">The mirror's name.</param>
    /// <param name="Balls">Balls that hold all its positions.</param>
    /// <param name="Moves">Whether it has more than one.</param>
    /// <param name="Face">A point of a mirror that stands still and the way it looks.</param>
    private sealed record ReachedMirror(string Name, IReadOnlyList<(Vector3 Centre, float Radius)> Balls, bool Moves, (Vector3 Point, Vector3 Normal)? Face);
}
