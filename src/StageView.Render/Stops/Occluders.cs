using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Render.Resources;
using StageView.Render.Scenery;

namespace StageView.Render.Stops;

/// <summary>All that can stop light in a moment: scenery that blocks, then mirrors, with what is needed to tell quickly which beam they stand in.</summary>
internal sealed class Occluders
{
    private readonly Growing<Item> _items = new();
    private readonly Growing<Face> _faces = new();
    private readonly Growing<Vector3> _corners = new();

    public ReadOnlySpan<Item> Items => _items.Span;

    public ReadOnlySpan<Face> FacesOf(in Item item) => _faces.Span.Slice(item.FirstFace, item.Faces);

    public ReadOnlySpan<Vector3> CornersOf(in Item item) => _corners.Span.Slice(item.FirstCorner, item.Corners);

    /// <summary>Corners of all mirrors in world metres, for drawing: <see cref="CornersOf"/> of a mirror is a run of these.</summary>
    public ReadOnlySpan<Vector3> AllCorners => _corners.Span;

    public void Fill(Moment moment, MeshStore meshes)
    {
        _items.Clear();
        _faces.Clear();
        _corners.Clear();
        var scenery = moment.Scenery.Span;
        for (var i = 0; i < scenery.Length; i++)
        {
            if (scenery[i].BlocksLight && (uint)scenery[i].Mesh.Value < (uint)meshes.Count)
            {
                AddMesh(scenery[i], new InstanceIndex(i), meshes[scenery[i].Mesh.Value].Bounds);
            }
        }

        var mirrors = moment.Mirrors.Span;
        for (var i = 0; i < mirrors.Length; i++)
        {
            AddMirror(moment, mirrors[i], new MirrorIndex(i));
        }
    }

    private void AddMesh(in MeshInstance instance, InstanceIndex index, in MeshBounds bounds)
    {
        var rows = InstanceRows.Of(instance);
        var firstCorner = _corners.Count;
        var firstFace = _faces.Count;
        for (var i = 0; i < 8; i++)
        {
            _corners.Add(rows.Transform(new Vector3(
                (i & 1) == 0 ? bounds.Low.X : bounds.High.X, (i & 2) == 0 ? bounds.Low.Y : bounds.High.Y, (i & 4) == 0 ? bounds.Low.Z : bounds.High.Z)));
        }

        var centre = rows.Transform((bounds.Low + bounds.High) / 2);
        var corners = _corners.Span[firstCorner..];
        for (var side = 0; side < 6; side++)
        {
            if ((bounds.SolidSides & (1 << side)) != 0)
            {
                AddFace(corners, side, centre);
            }
        }

        _items.Add(new Item(index, MirrorIndex.None, instance.Fixture, centre, Radius(corners, centre), firstCorner, 8, firstFace, _faces.Count - firstFace));
    }

    // Corner numbers are bits: 1 for high X, 2 for high Y, 4 for high Z.
    private void AddFace(ReadOnlySpan<Vector3> corners, int side, Vector3 middle)
    {
        var axis = side / 2;
        var at = (side & 1) << axis;
        var (u, v) = (1 << ((axis + 1) % 3), 1 << ((axis + 2) % 3));
        var origin = corners[at];
        var (edgeU, edgeV) = (corners[at | u] - origin, corners[at | v] - origin);
        var normal = Vector3.Cross(edgeU, edgeV);
        if (normal.LengthSquared() < 1e-12f)
        {
            return;
        }

        normal = Vector3.Normalize(normal);
        var out_ = Vector3.Dot(normal, origin - middle);
        // A plate has no inside: it stops light from either side.
        _faces.Add(new Face(out_ < 0 ? -normal : normal, origin, edgeU, edgeV, MathF.Abs(out_) < 1e-5f));
    }

    private void AddMirror(Moment moment, in Mirror mirror, MirrorIndex index)
    {
        var outline = moment.OutlineOf(mirror.Outline);
        if (outline.Length < 3)
        {
            return;
        }

        var first = _corners.Count;
        var centre = Vector3.Zero;
        foreach (var p in outline)
        {
            _corners.Add(p);
            centre += p / outline.Length;
        }

        var firstFace = _faces.Count;
        if (outline.Length == 4 && Vector3.Distance(outline[0] + outline[2], outline[1] + outline[3]) < 1e-4f)
        {
            _faces.Add(new Face(mirror.Normal, outline[0], outline[1] - outline[0], outline[3] - outline[0], true));
        }

        _items.Add(new Item(InstanceIndex.None, index, FixtureIndex.None, centre, Radius(outline, centre), first, outline.Length, firstFace,
            _faces.Count - firstFace));
    }

    private static float Radius(ReadOnlySpan<Vector3> points, Vector3 centre)
    {
        var r = 0f;
        foreach (var p in points)
        {
            r = MathF.Max(r, Vector3.Distance(p, centre));
        }

        return r;
    }

    /// <param name="Scenery">Which of the moment's scenery it is, or none.</param>
    /// <param name="Mirror">Which of the moment's mirrors it is, or none.</param>
    /// <param name="Fixture">The fixture it belongs to, or none.</param>
    public readonly record struct Item(
        InstanceIndex Scenery, MirrorIndex Mirror, FixtureIndex Fixture, Vector3 Centre, float Radius, int FirstCorner, int Corners, int FirstFace, int Faces);

    /// <summary>A parallelogram without a hole; light comes from the side of the normal, or from either.</summary>
    public readonly record struct Face(Vector3 Normal, Vector3 Origin, Vector3 EdgeU, Vector3 EdgeV, bool TwoSided)
    {
        private readonly Vector3 _alongU = Along(EdgeU, EdgeV);
        private readonly Vector3 _alongV = Along(EdgeV, EdgeU);

        /// <summary>Where a ray meets the face, as a factor on the direction, or 0 when it doesn't.</summary>
        public float Meets(Vector3 origin, Vector3 direction)
        {
            var slope = Vector3.Dot(Normal, direction);
            var height = Vector3.Dot(Normal, Origin - origin);
            var t = height / slope;
            if (!(t > 0) || !float.IsFinite(t))
            {
                return 0;
            }

            var p = origin + (direction * t) - Origin;
            return Vector3.Dot(p, _alongU) is >= 0 and <= 1 && Vector3.Dot(p, _alongV) is >= 0 and <= 1 ? t : 0;
        }

        /// <summary>
        /// A vector whose product with a point of the face, from its origin, is the share of the edge there; the other edge's does not count.
        /// </summary>
        private static Vector3 Along(Vector3 edge, Vector3 other)
        {
            var across = edge - (other * (Vector3.Dot(edge, other) / other.LengthSquared()));
            return across / Vector3.Dot(across, edge);
        }
    }
}
