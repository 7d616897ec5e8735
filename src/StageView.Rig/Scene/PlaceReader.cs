using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>
/// Reads what is placed in a rig without hanging in it: cameras, measuring areas, volumes of people, focus points, sight lines. A venue may move or remove
/// each by its name.
/// </summary>
internal sealed class PlaceReader(SceneBuild build)
{
    /// <remarks>A venue moves the eye; what it looks at stays, unless the venue turns it.</remarks>
    public void Camera(SourceNode c)
    {
        var (venue, moved) = Touched("camera", c, new Pose(c.VectorOr("at", default), Quaternion.Identity));
        var target = c.VectorOr("lookAt", Vector3.UnitY);
        if (!moved.Orientation.IsIdentity)
        {
            target = moved.Position + Vector3.Transform(target - moved.Position, moved.Orientation);
        }

        var camera = new Camera
        {
            Name = c.TextOr("name"),
            Position = moved.Position,
            Target = target,
            Up = Vector3.Transform(c.VectorOr("up", Vector3.UnitZ), moved.Orientation),
            VerticalFieldRadians = Angles.Radians(c.NumberOr("fieldOfView", 50)),
            Ev100 = c.NumberOr("ev", 7),
            WhitePointKelvin = c.NumberOr("whitePoint", 6504),
            ProjectorKelvin = c.NumberOr("projectorWhite", 6504),
            ShutterSeconds = c.NumberOr("shutter", 1f / 50),
            Bloom = c.NumberOr("bloom", 0),
            SmoothEdges = c.FlagOr("smoothEdges", false),
        };
        var along = camera.Target - camera.Position;
        var fNumber = c.NumberOr("fNumber", 0);
        camera = camera with
        {
            // Focal length = half the sensor's height / tan(half the angle of view).
            LensDiameter = fNumber > 0 ? 0.012f / Trig.Tan(camera.VerticalFieldRadians / 2) / fNumber : 0,
            FocusDistance = c.NumberOr("focusDistance", MathF.Max(0.1f, along.Length())),
        };
        if (Vector3.Cross(along, camera.Up).LengthSquared() < 1e-6f * along.LengthSquared() * camera.Up.LengthSquared() || along == default)
        {
            build.Problems.Error(c, "looks along its own up: give another \"up\" (such as [0, 1, 0] for a view from above)");
        }

        Add(venue, build.Cameras, camera, o => o.Name, c, "camera");
    }

    public void Area(SourceNode a)
    {
        var points = a.NumbersOf("points");
        var facing = a.VectorOr("facing", Vector3.UnitZ);
        if (facing == default)
        {
            build.Problems.Error(a, "\"facing\" is no direction");
            facing = Vector3.UnitZ;
        }

        var (venue, moved) = Touched("area", a, new Pose(a.VectorOr("corner", default), Quaternion.Identity));
        var area = new MeasuringArea
        {
            Name = a.TextOr("name"),
            Origin = moved.Position,
            EdgeU = moved.TransformDirection(a.VectorOr("across", default)),
            EdgeV = moved.TransformDirection(a.VectorOr("along", default)),
            CountU = points.Length > 0 ? (int)points[0] : 1,
            CountV = points.Length > 1 ? (int)points[1] : 1,
            Normal = moved.TransformDirection(Vector3.Normalize(facing)),
        };
        Add(venue, build.Areas, area, o => o.Name, a, "area");
    }

    /// <remarks>The seats go with the box.</remarks>
    public void Volume(SourceNode v)
    {
        var written = v.PoseOf();
        var (venue, moved) = Touched("volume", v, written);
        var volume = new CautionVolume
        {
            Name = v.TextOr("name"),
            Kind = v.TextOr("kind") == "crew" ? CautionVolumeKind.Crew : CautionVolumeKind.Audience,
            Pose = moved,
            Size = venue.Size ?? v.VectorOr("size", Vector3.One),
            Seats = [.. v.ListOf("seats").Select(p => p.AsVector()).OfType<Vector3>()
                .Select(p => moved == written ? p : moved.TransformPoint(written.InverseTransformPoint(p)))],
            LookAt = v.Vector("lookAt"),
        };
        Add(venue, build.Volumes, volume, o => o.Name, v, "volume");
    }

    public void FocusPoint(SourceNode f)
    {
        var (venue, moved) = Touched("focus point", f, new Pose(f.VectorOr("at", default), Quaternion.Identity));
        if (!venue.Removed)
        {
            build.FocusPoints.Add(new FocusPoint(f.TextOr("name"), moved.Position, f.TextOr("uuid")));
        }
    }

    /// <remarks>A venue moves eye and edge together.</remarks>
    public void SightLine(SourceNode l)
    {
        var (eye, edge) = (l.VectorOr("eye", default), l.VectorOr("edge", Vector3.UnitY));
        var (venue, moved) = Touched("sight line", l, new Pose(eye, Quaternion.Identity));
        var line = new SightLine(l.TextOr("name"), moved.Position, moved.TransformPoint(edge - eye));
        if (line.Edge.Y <= line.Eye.Y)
        {
            build.Problems.Error(l, "\"edge\" must lie upstage of \"eye\" (larger y)");
        }

        if (!venue.Removed)
        {
            build.SightLines.Add(line);
        }
    }

    private (VenueTouch Venue, Pose Moved) Touched(string kind, SourceNode node, Pose written)
    {
        var venue = VenueTouch.Of(build.Venue, VenueTouch.None, kind, node);
        var moved = venue.All(written);
        venue.Went(() => node.TextOr("name"));
        return (venue, moved);
    }

    private void Add<T>(VenueTouch venue, List<T> items, T item, Func<T, string> nameOf, SourceNode node, string kind)
    {
        if (venue.Removed)
        {
            return;
        }

        if (items.Exists(o => nameOf(o) == nameOf(item)))
        {
            build.Problems.Error(node, $"there is another {kind} named \"{nameOf(item)}\"");
        }

        items.Add(item);
    }
}
