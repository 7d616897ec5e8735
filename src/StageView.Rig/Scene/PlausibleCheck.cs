using System.Globalization;
using System.Numerics;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>
/// What can hardly be meant, told as warnings: things far above, below or away from the stage, sizes of a landscape, people of no human height, cameras that
/// look at a room's wall from outside. The ranges are wider than any house (common practice, no source).
/// </summary>
internal static class PlausibleCheck
{
    /// <summary>No roof with a stage under it is higher, m.</summary>
    private const float Highest = 100;

    /// <summary>No pit is deeper, m.</summary>
    private const float Lowest = -30;

    /// <summary>Along the ground, m.</summary>
    private const float Farthest = 500;

    /// <summary>Edge of a piece of scenery, m.</summary>
    private const float Largest = 1000;

    /// <summary>Body heights, m.</summary>
    private static readonly (float Least, float Most) Person = (.4f, 2.8f);

    public static void Warn(RigScene rig, ProblemList problems)
    {
        var things = rig.Fixtures.Where(f => f.Carrier is null).Select(f => (f.Name, f.Pose.Position))
            .Concat(rig.Scenery.Where(s => s.Carrier is null).Select(s => (s.Name, s.Pose.Position)))
            .Concat(rig.Mirrors.Select(m => (m.Name, m.Corners[0])))
            .Concat(rig.Areas.Select(a => ($"area {a.Name}", a.Origin)))
            .Concat(rig.Volumes.Select(v => ($"volume {v.Name}", v.Pose.Position)))
            .Concat(rig.FocusPoints.Select(p => ($"focus point {p.Name}", p.Position)))
            .Concat(rig.Cameras.Select(c => ($"camera {c.Name}", c.Position)))
            .Concat(rig.Cameras.Select(c => ($"what camera {c.Name} looks at", c.Target))).ToList();
        Tell("lies more than 100 m above the stage", "lie more than 100 m above the stage", things.Where(t => t.Item2.Z > Highest), t => t.Z, rig, problems);
        Tell("lies more than 30 m below the stage", "lie more than 30 m below the stage", things.Where(t => t.Item2.Z < Lowest), t => -t.Z, rig, problems);
        Tell("lies more than 500 m away", "lie more than 500 m away", things.Where(t => Away(t.Item2) > Farthest), Away, rig, problems);
        foreach (var s in rig.Scenery)
        {
            var size = Size(rig, s);
            if (MathF.Max(size.X, MathF.Max(size.Y, size.Z)) > Largest)
            {
                Warn($"\"{s.Name}\" is more than 1000 m long: are its measures metres?");
            }
            else if (s.Kind == SceneryKind.Person && (size.Z < Person.Least || size.Z > Person.Most))
            {
                Warn(string.Create(CultureInfo.InvariantCulture, $"\"{s.Name}\" is a person {size.Z:0.##} m tall: is its height in metres?"));
            }
        }

        foreach (var camera in rig.Cameras)
        {
            // From outside a closed wall the picture is that wall; "walls" leaves one out.
            if (rig.Scenery.FirstOrDefault(s => s.RoomSide.Length > 0 && s.SeenFrom == default && Crosses(s, camera.Position, camera.Target)) is { } wall)
            {
                Warn($"camera \"{camera.Name}\" looks at \"{wall.Name}\" from outside the room, or from within it: its picture shows nothing but that");
            }
        }

        void Warn(string text) => problems.Warn(SourcePlace.WholeOf(rig.File), text);
    }

    private static float Away(Vector3 p) => MathF.Sqrt((p.X * p.X) + (p.Y * p.Y));

    private static Vector3 Size(RigScene rig, SceneryPiece s)
    {
        if (s.Kind != SceneryKind.Person)
        {
            return Vector3.Abs(s.Scale);
        }

        var z = rig.Meshes[s.Mesh].Positions.Select(p => p.Z).DefaultIfEmpty().ToList();
        return new Vector3(0, 0, (z.Max() - z.Min()) * s.Scale.Z);
    }

    private static void Tell(
        string one, string many, IEnumerable<(string Name, Vector3 At)> met, Func<Vector3, float> how, RigScene rig, ProblemList problems)
    {
        var all = met.ToList();
        if (all.Count == 0)
        {
            return;
        }

        var names = NameRuns.Of([.. all.Select(m => m.Name)]);
        var text = string.Create(CultureInfo.InvariantCulture,
            $"{Shortened(names)} {(all.Count == 1 ? one : many)} ({all.Max(m => how(m.At)):0} m): places are in metres");
        problems.Warn(SourcePlace.WholeOf(rig.File), text);
    }

    private static string Shortened(string names) => names.Length <= 200 ? names
        : names[..(names.LastIndexOf(", ", 200, StringComparison.Ordinal) is var at and > 0 ? at : 200)] + " and others";

    /// <summary>Whether one who stands in a wall of a room or behind it looks at its outside: the line to the other point meets it (slab method).</summary>
    private static bool Crosses(SceneryPiece wall, Vector3 from, Vector3 to)
    {
        var half = Vector3.Abs(wall.Scale) / 2;
        var a = wall.Pose.InverseTransformPoint(from);
        var d = wall.Pose.InverseTransformPoint(to) - a;
        var outward = wall.RoomSide switch
        {
            "left" => -a.X + half.X,
            "right" => a.X + half.X,
            "rear" => a.Y + half.Y,
            "front" => -a.Y + half.Y,
            "ceiling" => a.Z + half.Z,
            _ => -a.Z + half.Z,
        };
        if (outward <= 0)
        {
            return false;
        }

        var (near, far) = (0f, 1f);
        for (var i = 0; i < 3; i++)
        {
            if (MathF.Abs(d[i]) < 1e-9f)
            {
                if (MathF.Abs(a[i]) > half[i])
                {
                    return false;
                }

                continue;
            }

            var (t0, t1) = ((-half[i] - a[i]) / d[i], (half[i] - a[i]) / d[i]);
            near = MathF.Max(near, MathF.Min(t0, t1));
            far = MathF.Min(far, MathF.Max(t0, t1));
        }

        return near < far;
    }
}
