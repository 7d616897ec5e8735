using StageView.Light.Geometry;
using StageView.Rig.Gdtf;
using StageView.Rig.Profiles;

namespace StageView.Rig.Mvr;

/// <summary>Finds the parts of fixtures that carry others, and where they are at rest.</summary>
/// <param name="scene">The scene.</param>
/// <param name="modeOf">The mode that a fixture has here, or null for a placeholder.</param>
internal sealed class MvrCarriers(MvrScene scene, Func<MvrFixture, FixtureMode?> modeOf)
{
    /// <summary>The mode that a fixture has here, or null for a placeholder.</summary>
    public FixtureMode? Mode(int fixture) => modeOf(scene.Fixtures[fixture]);

    /// <summary>The carrying geometry: the last of the path, in the carrier's mode.</summary>
    public GeometryNode? Part(MvrCarrier carrier)
    {
        var mode = modeOf(scene.Fixtures[carrier.Fixture]);
        var last = GdtfNames.Of(carrier.Part).Split('.')[^1];
        return mode?.Geometry.FirstOrDefault(g => g.Name == last) ?? mode?.Geometry.FirstOrDefault(g => g.Name.EndsWith(" " + last, StringComparison.Ordinal));
    }

    /// <summary>Where a fixture is in the scene while nothing moves.</summary>
    public Pose Root(int fixture)
    {
        var f = scene.Fixtures[fixture];
        return f.Carrier is { } carrier ? AtRest(carrier) ?? f.Pose : f.Pose;
    }

    /// <summary>Where something carried is in the scene while nothing moves; null where its part isn't there.</summary>
    public Pose? AtRest(MvrCarrier carrier)
    {
        if (Part(carrier) is not { } part || MvrMatrix.Split(carrier.Local) is not { } local)
        {
            return null;
        }

        var nodes = modeOf(scene.Fixtures[carrier.Fixture])!.Geometry;
        var pose = local.Pose;
        for (var i = part.Index; i >= 0; i = nodes[i].Parent)
        {
            pose = nodes[i].Pose.Compose(pose);
        }

        return Root(carrier.Fixture).Compose(pose);
    }
}
