using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Reads mirrors and walls of mirror panels. A mirror's own plane is xz, it reflects towards its -y.</summary>
internal static class MirrorReader
{
    public static void Read(SourceNode mirror, PartPlace place, SceneBuild build)
    {
        ReadOne(mirror, place, build, "", false);
        if (mirror.FlagOr("mirrored", false))
        {
            ReadOne(mirror, place.Mirrored(), build, " mirrored", true);
        }
    }

    private static void ReadOne(SourceNode mirror, PartPlace within, SceneBuild build, string suffix, bool reflected)
    {
        var surface = GeometryReader.ReadSurface(mirror.Get("surface"));
        if (!build.Bounds.Compare(mirror, build.Venue?.Entries ?? 0))
        {
            return;
        }

        var venue = VenueTouch.Of(build.Venue, within.Venue, "mirror", mirror, mirror.TextOr("name") + suffix);
        var pose = venue.One(venue.All(mirror.PoseOf()), reflected);
        var place = within with { Venue = venue };
        if (mirror.Get("corners") is { Kind: SourceKind.List } written)
        {
            Add(mirror, place, build, suffix, [.. written.Items.Select(c => pose.TransformPoint(c.AsVector() ?? default))], surface);
            return;
        }

        if (mirror.NumbersOf("size") is not [var width, var height] || width <= 0 || height <= 0)
        {
            build.Problems.Error(mirror, "a mirror needs \"size\" (above zero) or \"corners\"");
            return;
        }

        if (mirror.Get("panels") is not { } panels)
        {
            Add(mirror, place, build, suffix, Rectangle(pose, width, height), surface);
            return;
        }

        var columns = panels.IntegerOr("columns", 1);
        var rows = panels.IntegerOr("rows", 1);
        var gap = panels.NumberOr("gap", .01f);
        var fan = panels.NumbersOf("fan") is [var a, var b] ? new Vector2(a, b) : default;
        var w = (width - (gap * (columns - 1))) / columns;
        var h = (height - (gap * (rows - 1))) / rows;
        if (w <= 0 || h <= 0)
        {
            build.Problems.Error(panels, "the gaps leave nothing of the panels");
            return;
        }

        for (var r = 0; r < rows; r++)
        {
            for (var c = 0; c < columns; c++)
            {
                var centre = new Vector3((c - ((columns - 1) / 2f)) * (w + gap), 0, (r - ((rows - 1) / 2f)) * (h + gap));
                var turn = new Vector3((r - ((rows - 1) / 2f)) * fan.Y, 0, (c - ((columns - 1) / 2f)) * fan.X);
                var name = string.Create(CultureInfo.InvariantCulture, $"{suffix} {c + 1}.{r + 1}");
                var panel = VenueTouch.Of(build.Venue, venue, "mirror", mirror, mirror.TextOr("name") + name);
                var at = panel.One(pose.Compose(Pose.FromDegrees(centre, turn)), reflected);
                Add(mirror, place with { Venue = panel }, build, name, Rectangle(at, w, h), surface);
            }
        }
    }

    private static Vector3[] Rectangle(in Pose pose, float w, float h) =>
    [
        pose.TransformPoint(new(-w / 2, 0, -h / 2)),
        pose.TransformPoint(new(w / 2, 0, -h / 2)),
        pose.TransformPoint(new(w / 2, 0, h / 2)),
        pose.TransformPoint(new(-w / 2, 0, h / 2)),
    ];

    private static void Add(SourceNode mirror, PartPlace place, SceneBuild build, string suffix, Vector3[] corners, MirrorSurface surface)
    {
        var name = mirror.TextOr("name") + suffix;
        place.Venue.Went(() => name);
        if (!build.Bounds.Mirror(mirror) || place.Venue.Removed)
        {
            return;
        }

        var world = corners.Select(c => place.ToWorld(c)).ToArray();
        if (place.Handed)
        {
            // A reflection turns the outline round: keep it counter-clockwise seen from the reflecting side.
            Array.Reverse(world);
        }

        if (!IsFlatAndConvex(world))
        {
            build.Problems.Error(mirror, "its corners are not a flat convex outline, counter-clockwise seen from the reflecting side");
        }

        build.Mirrors.Add(new MirrorPiece { Name = name, Corners = world, Surface = surface });
    }

    private static bool IsFlatAndConvex(Vector3[] c)
    {
        var normal = Vector3.Zero;
        for (var i = 0; i < c.Length; i++)
        {
            normal += Vector3.Cross(c[i], c[(i + 1) % c.Length]);
        }

        if (normal.LengthSquared() < 1e-12f)
        {
            return false;
        }

        normal = Vector3.Normalize(normal);
        for (var i = 0; i < c.Length; i++)
        {
            var (p, q, r) = (c[i], c[(i + 1) % c.Length], c[(i + 2) % c.Length]);
            if (MathF.Abs(Vector3.Dot(p - c[0], normal)) > .002f || Vector3.Dot(Vector3.Cross(q - p, r - q), normal) < -1e-6f)
            {
                return false;
            }
        }

        return true;
    }
}
