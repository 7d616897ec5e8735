using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Render.Scenery;
using StageView.Render.Stops;
using StageView.Render.Views;

namespace StageView.Render.Plans;

/// <summary>Mirrors of a moment, and flat faces that shine, those in one plane together: one mirrored view serves a whole wall of panels.</summary>
internal sealed class MirrorGroups
{
    /// <summary>m².</summary>
    private const float LeastFace = 0.5f;

    private readonly List<Group> _groups = [];

    public IReadOnlyList<Group> All => _groups;

    public void Fill(Moment moment)
    {
        _groups.Clear();
        var mirrors = moment.Mirrors.Span;
        for (var i = 0; i < mirrors.Length; i++)
        {
            var outline = moment.OutlineOf(mirrors[i].Outline);
            if (outline.Length < 3)
            {
                continue;
            }

            var plane = HalfSpace.Through(mirrors[i].Normal, outline[0]);
            var group = _groups.Find(g => !g.Shines && Near(g.Plane, plane));
            if (group is null)
            {
                _groups.Add(group = new Group(plane, mirrors[i].SheetThickness, mirrors[i].SheetIndex));
            }

            group.Mirrors.Add(new MirrorIndex(i));
            group.Outlines.Add(outline.ToArray());
        }

        foreach (ref readonly var piece in moment.Scenery.Span)
        {
            if (piece.Shine > 0 && (uint)piece.Mesh.Value < (uint)moment.Meshes.Count)
            {
                AddFaces(moment.Meshes[piece.Mesh.Value], piece);
            }
        }
    }

    /// <summary>Of what shines, the faces that are large enough to see anything in.</summary>
    private void AddFaces(SceneMesh mesh, in MeshInstance piece)
    {
        foreach (var face in FlatFaces.Of(mesh))
        {
            var corners = new Vector3[face.Length];
            for (var i = 0; i < face.Length; i++)
            {
                corners[i] = piece.Pose.TransformPoint(face[i] * piece.Scale);
            }

            var cross = Vector3.Cross(corners[1] - corners[0], corners[3] - corners[0]);
            if (cross.Length() < LeastFace)
            {
                continue;
            }

            var plane = HalfSpace.Through(Vector3.Normalize(cross), corners[0]);
            var group = _groups.Find(g => g.Shines && Near(g.Plane, plane));
            if (group is null)
            {
                _groups.Add(group = new Group(plane, 0, 1) { Shines = true });
            }

            group.Outlines.Add(corners);
        }
    }

    /// <summary>The part of the picture that a group's fronts may cover in a view, or an empty area.</summary>
    public static (int X, int Y, int Width, int Height) AreaIn(Group group, View view)
    {
        if (Vector4.Dot(group.Plane, new Vector4(view.Eye, 1)) < 1e-3f)
        {
            return default;
        }

        var (low, high) = (new Vector2(float.MaxValue), new Vector2(float.MinValue));
        Span<Vector4> clip = stackalloc Vector4[64];
        foreach (var outline in group.Outlines)
        {
            var n = Math.Min(outline.Length, clip.Length);
            for (var i = 0; i < n; i++)
            {
                clip[i] = Vector4.Transform(new Vector4(outline[i], 1), view.ViewProjection);
            }

            for (var i = 0; i < n; i++)
            {
                // Edges are cut at the near plane, so that corners behind the eye don't fold over.
                var (a, b) = (clip[i], clip[(i + 1) % n]);
                Bound(a, b, ref low, ref high);
                Bound(b, a, ref low, ref high);
            }
        }

        if (low.X > high.X)
        {
            return default;
        }

        var (x0, y0) = ((int)MathF.Floor(Pixels(low.X, view.Width)) - 1, (int)MathF.Floor(Pixels(low.Y, view.Height)) - 1);
        var (x1, y1) = ((int)MathF.Ceiling(Pixels(high.X, view.Width)) + 1, (int)MathF.Ceiling(Pixels(high.Y, view.Height)) + 1);
        x0 = Math.Max(x0, view.Area.X);
        y0 = Math.Max(y0, view.Area.Y);
        x1 = Math.Min(x1, view.Area.X + view.Area.Width);
        y1 = Math.Min(y1, view.Area.Y + view.Area.Height);
        return x1 > x0 && y1 > y0 ? (x0, y0, x1 - x0, y1 - y0) : default;
    }

    private static float Pixels(float ndc, int size) => (Math.Clamp(ndc, -2, 2) + 1) * 0.5f * size;

    private static void Bound(Vector4 a, Vector4 b, ref Vector2 low, ref Vector2 high)
    {
        if (a.W < View.Near)
        {
            if (b.W < View.Near)
            {
                return;
            }

            a += (b - a) * ((View.Near - a.W) / (b.W - a.W));
        }

        var p = new Vector2(a.X, a.Y) / a.W;
        (low, high) = (Vector2.Min(low, p), Vector2.Max(high, p));
    }

    private static bool Near(Vector4 a, Vector4 b) =>
        Vector3.Dot(new Vector3(a.X, a.Y, a.Z), new Vector3(b.X, b.Y, b.Z)) > 0.999999f && MathF.Abs(a.W - b.W) < 2e-3f;

    /// <summary>Mirrors whose fronts lie in one plane, or faces that shine.</summary>
    internal sealed class Group(Vector4 plane, float sheetThickness, float sheetIndex)
    {
        public Vector4 Plane { get; } = plane;

        public List<MirrorIndex> Mirrors { get; } = [];

        /// <summary>Of the mirrors, or around the faces.</summary>
        public List<Vector3[]> Outlines { get; } = [];

        /// <summary>Faces that shine, no mirrors.</summary>
        public bool Shines { get; init; }

        public Vector3 Normal => new(Plane.X, Plane.Y, Plane.Z);

        /// <summary>The plane that the main image is mirrored at, as seen from an eye: a clear sheet sets it back (MirrorOptics.EffectiveDepth).</summary>
        public Vector3 PointOfImagePlane(Vector3 eye, Vector3 middle)
        {
            var cos = MathF.Abs(Vector3.Dot(Vector3.Normalize(middle - eye), Normal));
            var depth = (float)MirrorOptics.EffectiveDepth(sheetThickness, sheetIndex, cos);
            return (Normal * -Plane.W) - (Normal * depth);
        }
    }
}
