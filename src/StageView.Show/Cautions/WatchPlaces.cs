using System.Numerics;
using StageView.Light.Cautions;
using StageView.Rig.Pieces;

namespace StageView.Show.Cautions;

/// <summary>
/// Where flashes and bright light are looked for in a rig: the seats of its audience volumes, of its crew volumes when these name some, and its cameras.
/// </summary>
public static class WatchPlaces
{
    /// <summary>Eyes are so high above a volume's floor unless the rig file names seats, m; the volume's middle if that is lower.</summary>
    public const float EyeHeight = 1.2f;

    /// <summary>Every place, seats first, in the rig file's order.</summary>
    public static IReadOnlyList<WatchPlace> Of(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var middle = MiddleOf(rig);
        var seats = rig.Volumes.OrderBy(v => v.Kind).SelectMany(v => SeatsOf(v, middle));
        var cameras = rig.Cameras.Where(_ => rig.NamesCameras)
            .Select(c => new WatchPlace { Name = "camera " + c.Name, Eye = c.Position, LookAt = c.Target, Camera = c });
        return [.. seats, .. cameras];
    }

    /// <summary>What a rig gives no place for, and why.</summary>
    public static IEnumerable<UncheckedThing> Missing(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        if (!rig.Volumes.Any(v => v.Kind == CautionVolumeKind.Audience))
        {
            yield return new UncheckedThing("what an audience sees", "the rig names no audience volume");
        }

        foreach (var v in rig.Volumes.Where(v => v.Kind == CautionVolumeKind.Crew && v.Seats.Count == 0))
        {
            yield return new UncheckedThing($"what the crew at \"{v.Name}\" sees", "its volume names no seats");
        }

        if (!rig.NamesCameras)
        {
            yield return new UncheckedThing("what cameras see", "the rig names none");
        }
    }

    /// <summary>The middle of what can shine: of the fixtures' places as many lie on either side of it, along each axis, m.</summary>
    public static Vector3 MiddleOf(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var places = rig.Fixtures.Where(f => f.Carrier is null).Select(f => f.Pose.Position).ToList();
        return places.Count == 0 ? Vector3.Zero : new Vector3(Median(places, p => p.X), Median(places, p => p.Y), Median(places, p => p.Z));
    }

    private static float Median(List<Vector3> places, Func<Vector3, float> axis)
    {
        var sorted = places.Select(axis).Order().ToList();
        return (sorted[(sorted.Count - 1) / 2] + sorted[sorted.Count / 2]) / 2;
    }

    private static IEnumerable<WatchPlace> SeatsOf(CautionVolume volume, Vector3 middle)
    {
        var crew = volume.Kind == CautionVolumeKind.Crew;
        var named = volume.Seats.Select((p, i) => (Name: volume.Seats.Count == 1 ? volume.Name : $"{volume.Name}, seat {i + 1}", Eye: p));
        var lookAt = volume.LookAt ?? middle;
        foreach (var (name, eye) in volume.Seats.Count > 0 || crew ? named : OwnSeats(volume, lookAt))
        {
            // Someone under or in the middle of it all looks upstage.
            var near = Vector3.Distance(eye, lookAt) < 0.5f;
            yield return new WatchPlace { Name = name, Eye = eye, LookAt = near ? eye + Vector3.UnitY : lookAt, Volume = volume.Name, IsCrew = crew };
        }
    }

    private static IEnumerable<(string Name, Vector3 Eye)> OwnSeats(CautionVolume volume, Vector3 lookAt)
    {
        var half = volume.Size / 2;
        var to = volume.Pose.InverseTransformPoint(lookAt);
        // The front is the side that faces what is looked at most squarely, by how far beyond it that lies.
        var (beyondX, beyondY) = (MathF.Abs(to.X) - half.X, MathF.Abs(to.Y) - half.Y);
        var front = beyondX > beyondY ? new Vector3(MathF.CopySign(half.X, to.X), 0, 0) : new Vector3(0, to.Y < 0 ? -half.Y : half.Y, 0);
        // Left and right as one sees them who looks to the front.
        var right = beyondX > beyondY ? new Vector3(0, -MathF.CopySign(half.Y, front.X), 0) : new Vector3(MathF.CopySign(half.X, front.Y), 0, 0);
        var eye = new Vector3(0, 0, MathF.Min(EyeHeight - half.Z, 0));
        yield return (volume.Name + ", front middle", volume.Pose.TransformPoint(eye + front));
        yield return (volume.Name + ", middle", volume.Pose.TransformPoint(eye));
        yield return (volume.Name + ", front left", volume.Pose.TransformPoint(eye + front - right));
        yield return (volume.Name + ", front right", volume.Pose.TransformPoint(eye + front + right));
    }
}
