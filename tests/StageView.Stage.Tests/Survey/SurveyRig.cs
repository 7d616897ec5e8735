using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Heads;
using StageView.Stage.Survey;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Survey;

/// <summary>A truss of four heads, and what they read when it hangs elsewhere than its rig file says.</summary>
internal static class SurveyRig
{
    public static Fixture[] Heads { get; } = [.. new[] { -4.5f, -1.5f, 1.5f, 4.5f }.Select(x => Head() with { Pose = Pose.At(x, 2, 7) })];

    /// <summary>On the floor and on a rear wall.</summary>
    public static Vector3d[] Marks { get; } =
        [new(-4, -3, 0), new(3.5, -2.5, 0), new(0, 4.5, 0), new(-3, 6, 0), new(4, 7, 3), new(-2, 7, 4)];

    /// <summary>A third of a metre off, half a metre low, askew.</summary>
    public static RigidMotion Truth { get; } =
        RigidMotion.About(new Vector3d(0, 2, 7), new Vector3d(.02, -.03, .05), new Vector3d(.25, -.2, -.5));

    /// <summary>Each head on three of the marks.</summary>
    public static IEnumerable<(Fixture Head, Vector3d Mark)> Pairs { get; } =
        [.. Heads.SelectMany((h, i) => Enumerable.Range(0, 3).Select(k => (h, Marks[((2 * k) + i) % Marks.Length])))];

    /// <summary>Pan and tilt that put a head on a mark where it really hangs, degrees.</summary>
    public static (double Pan, double Tilt) Read(Fixture head, RigidMotion truth, Vector3d mark)
    {
        var at = truth.Apply(Vector3d.From(head.Pose.Position)).ToSingle();
        var turn = new System.Numerics.Quaternion((float)truth.I, (float)truth.J, (float)truth.K, (float)truth.W);
        var aim = PanTilt.Aim(head, mark.ToSingle(), new Pose(at, turn * head.Pose.Orientation))[0];
        return (aim.PanDegrees, aim.TiltDegrees);
    }

    public static SightedRay Ray(Fixture head, Vector3d mark, double pan, double tilt) => SightedRay.Of(
        new Sighting
        {
            Fixture = head,
            Part = new RigPart
            {
                Index = new PartIndex(0), Name = "truss", Holder = PartIndex.None, InHolder = Pose.Identity, HolderOrigin = default,
                HolderAxes = (new(1, 0, 0), new(0, 1, 0), new(0, 0, 1)), Source = SourcePlace.WholeOf("a"),
            },
            Mark = "a",
            At = mark,
            Place = SourcePlace.WholeOf("a"),
        }, pan, tilt);

    public static SightedRay[] Exact(RigidMotion truth, IEnumerable<(Fixture Head, Vector3d Mark)> pairs) =>
        [.. pairs.Select(p => Ray(p.Head, p.Mark, Read(p.Head, truth, p.Mark).Pan, Read(p.Head, truth, p.Mark).Tilt))];
}
