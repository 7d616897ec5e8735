using StageView.Light.Geometry;

namespace StageView.Rig.Pieces;

/// <summary>Where everything of a rig stands before any level moves it.</summary>
public static class PlacesAtRest
{
    /// <summary>Where each fixture hangs at rest, carried ones by what carries them.</summary>
    public static Pose[] Roots(RigScene rig)
    {
        var places = Places(rig);
        return [.. rig.Fixtures.Select(f => f.Carrier is { } c ? places[c.Fixture.Value][c.Geometry].Compose(f.Pose) : f.Pose)];
    }

    /// <summary>World poses of every geometry at rest, carried fixtures included.</summary>
    public static Pose[][] Places(RigScene rig)
    {
        var places = new Pose[rig.Fixtures.Count][];
        Pose[] Of(int fixture)
        {
            if (places[fixture] is { } known)
            {
                return known;
            }

            var f = rig.Fixtures[fixture];
            var root = f.Carrier is { } c ? Of(c.Fixture.Value)[c.Geometry].Compose(f.Pose) : f.Pose;
            var nodes = new Pose[f.Mode.Geometry.Count];
            foreach (var g in f.Mode.Geometry)
            {
                nodes[g.Index] = (g.Parent < 0 ? root : nodes[g.Parent]).Compose(g.Pose);
            }

            return places[fixture] = nodes;
        }

        for (var i = 0; i < places.Length; i++)
        {
            Of(i);
        }

        return places;
    }
}
