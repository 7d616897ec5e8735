using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Light.Rays;

/// <summary>
/// Rays against the scenery and mirrors of one moment. Two levels: a tree for each mesh, built once and remembered by
/// the mesh's identity, and a small tree over the instances and mirrors, rebuilt for each moment; a winched piece costs a box, not
/// its triangles. Safe for many readers at once, but not while it is being set.
/// </summary>
public sealed class OcclusionScene
{
    private readonly WideTree _tree = new();
    private Box[] _boxes = [];
    private Item[] _items = [];
    private Vector3[] _corners = [];
    private int _count;

    /// <summary>The scenery and mirrors of a moment; holds no reference to the moment's pooled memory.</summary>
    public static OcclusionScene From(Moment moment)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var scene = new OcclusionScene();
        scene.Set(moment);
        return scene;
    }

    /// <summary>The housings of the fixtures, which are seen and block no light.</summary>
    public static OcclusionScene OfHousings(Moment moment)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var scene = new OcclusionScene();
        scene.Set(moment.Scenery.Span, moment.Meshes, [], moment.Outlines.Span, blocking: false);
        return scene;
    }

    /// <summary>Takes over another moment, reusing memory.</summary>
    public void Set(Moment moment)
    {
        ArgumentNullException.ThrowIfNull(moment);
        Set(moment.Scenery.Span, moment.Meshes, moment.Mirrors.Span, moment.Outlines.Span);
    }

    internal void Set(
        ReadOnlySpan<MeshInstance> scenery, IReadOnlyList<SceneMesh> meshes, ReadOnlySpan<Mirror> mirrors, ReadOnlySpan<Vector3> outlines, bool blocking = true)
    {
        _count = 0;
        if (_boxes.Length < scenery.Length + mirrors.Length)
        {
            _boxes = new Box[scenery.Length + mirrors.Length];
            _items = new Item[_boxes.Length];
        }

        for (var i = 0; i < scenery.Length; i++)
        {
            if (scenery[i].BlocksLight == blocking && (uint)scenery[i].Mesh.Value < (uint)meshes.Count)
            {
                AddInstance(scenery[i], new InstanceIndex(i), MeshTree.Of(meshes[scenery[i].Mesh.Value]));
            }
        }

        var corners = 0;
        foreach (var mirror in mirrors)
        {
            corners += mirror.Outline.Count;
        }

        if (_corners.Length < corners)
        {
            _corners = new Vector3[corners];
        }

        corners = 0;
        for (var m = 0; m < mirrors.Length; m++)
        {
            var outline = outlines.Slice(mirrors[m].Outline.First, mirrors[m].Outline.Count);
            outline.CopyTo(_corners.AsSpan(corners));
            var box = Box.Empty;
            foreach (var p in outline)
            {
                box.Include(p);
            }

            _items[_count] = new Item
            {
                Instance = InstanceIndex.None,
                Mirror = new MirrorIndex(m),
                Fixture = FixtureIndex.None,
                Normal = mirrors[m].Normal,
                First = corners,
                Corners = outline.Length,
            };
            _boxes[_count++] = box;
            corners += outline.Length;
        }

        _tree.Build(_boxes.AsSpan(0, _count), 1);
    }

    /// <summary>True when something lies between two points (their own surroundings of <paramref name="gap"/> metres at each end excepted).</summary>
    /// <param name="from">One end, m.</param>
    /// <param name="to">The other end, m.</param>
    /// <param name="exceptFixture">Scenery that belongs to this fixture doesn't block; none when all does.</param>
    /// <param name="exceptMirror">A mirror that doesn't block, or none.</param>
    /// <param name="alsoExcept">Another one, or none.</param>
    /// <param name="gap">m.</param>
    public bool Blocked(Vector3 from, Vector3 to, FixtureIndex exceptFixture, MirrorIndex exceptMirror, MirrorIndex alsoExcept, float gap = 1e-4f)
    {
        var d = to - from;
        var length = d.Length();
        if (length <= 2 * gap)
        {
            return false;
        }

        var ray = new TreeRay { Origin = from, Direction = d, From = gap / length, To = 1 - (gap / length) };
        var visitor = new AnyVisitor { Scene = this, Fixture = exceptFixture, Except = exceptMirror, AlsoExcept = alsoExcept };
        return _tree.Visit(ref ray, ref visitor);
    }

    /// <summary>True when something that doesn't belong to <paramref name="exceptFixture"/> lies between two points.</summary>
    public bool Blocked(Vector3 from, Vector3 to, FixtureIndex exceptFixture) => Blocked(from, to, exceptFixture, MirrorIndex.None, MirrorIndex.None);

    /// <summary>The first thing that a ray meets.</summary>
    /// <param name="origin">m.</param>
    /// <param name="direction">Unit length.</param>
    /// <param name="farthest">m.</param>
    /// <param name="exceptFixture">Scenery that belongs to this fixture is passed by; none when all is met.</param>
    /// <param name="exceptMirror">A mirror that is passed by, or none.</param>
    /// <param name="hit">What was met.</param>
    public bool Closest(Vector3 origin, Vector3 direction, float farthest, FixtureIndex exceptFixture, MirrorIndex exceptMirror, out SceneHit hit)
    {
        var ray = new TreeRay { Origin = origin, Direction = direction, From = 1e-6f, To = farthest };
        var visitor = new ClosestVisitor { Scene = this, Fixture = exceptFixture, Except = exceptMirror, Item = -1 };
        _tree.Visit(ref ray, ref visitor);
        if (visitor.Item < 0)
        {
            hit = default;
            return false;
        }

        ref readonly var item = ref _items[visitor.Item];
        var normal = item.Mirror.IsNone ? item.WorldNormal(visitor.Triangle) : item.Normal;
        if (Vector3.Dot(normal, direction) > 0)
        {
            normal = -normal;
        }

        hit = new SceneHit(ray.To, origin + (direction * ray.To), normal, item.Instance, item.Mirror, item.Mirror.IsNone ? visitor.Triangle : -1);
        return true;
    }

    /// <summary>The first thing that a ray meets, mirrors included.</summary>
    public bool Closest(Vector3 origin, Vector3 direction, float farthest, FixtureIndex exceptFixture, out SceneHit hit) =>
        Closest(origin, direction, farthest, exceptFixture, MirrorIndex.None, out hit);

    private void AddInstance(in MeshInstance instance, InstanceIndex index, MeshTree mesh)
    {
        var scale = new Vector3(Solid(instance.Scale.X), Solid(instance.Scale.Y), Solid(instance.Scale.Z));
        var local = mesh.Bounds;
        if (local.Min.X > local.Max.X)
        {
            return;
        }

        var box = Box.Empty;
        for (var k = 0; k < 8; k++)
        {
            var corner = new Vector3(
                (k & 1) == 0 ? local.Min.X : local.Max.X,
                (k & 2) == 0 ? local.Min.Y : local.Max.Y,
                (k & 4) == 0 ? local.Min.Z : local.Max.Z);
            box.Include(instance.Pose.TransformPoint(corner * scale));
        }

        _items[_count] = new Item
        {
            Mesh = mesh,
            Instance = index,
            Mirror = MirrorIndex.None,
            Fixture = instance.Fixture,
            Position = instance.Pose.Position,
            Orientation = instance.Pose.Orientation,
            Inverse = Quaternion.Conjugate(instance.Pose.Orientation),
            InverseScale = Vector3.One / scale,
            Upright = instance.Pose.Orientation.IsIdentity && scale == Vector3.One,
        };
        _boxes[_count++] = box;
    }

    private static float Solid(float scale) => MathF.Abs(scale) < 1e-6f ? 1e-6f : scale;

    private bool MeetsMirror(in Item item, in TreeRay ray, out float t)
    {
        var corners = _corners.AsSpan(item.First, item.Corners);
        var along = Vector3.Dot(ray.Direction, item.Normal);
        t = Vector3.Dot(corners[0] - ray.Origin, item.Normal) / along;
        if (!(t > ray.From && t < ray.To))
        {
            return false;
        }

        return ConvexClip.Inside(corners, item.Normal, ray.Origin + (ray.Direction * t));
    }

    private struct Item
    {
        public MeshTree? Mesh;
        public InstanceIndex Instance;
        public MirrorIndex Mirror;
        public FixtureIndex Fixture;
        public Vector3 Position;
        public Quaternion Orientation;
        public Quaternion Inverse;
        public Vector3 InverseScale;
        public Vector3 Normal;
        public int First;
        public int Corners;

        /// <summary>Neither turned nor scaled.</summary>
        public bool Upright;

        public readonly TreeRay ToLocal(in TreeRay ray)
        {
            var local = ray;
            local.Origin -= Position;
            if (!Upright)
            {
                local.Origin = Vector3.Transform(local.Origin, Inverse) * InverseScale;
                local.Direction = Vector3.Transform(local.Direction, Inverse) * InverseScale;
            }

            return local;
        }

        public readonly Vector3 WorldNormal(int triangle) =>
            Vector3.Normalize(Vector3.Transform(Mesh!.NormalOf(triangle) * InverseScale, Orientation));
    }

    private struct AnyVisitor : ILeafVisitor
    {
        public OcclusionScene Scene;
        public FixtureIndex Fixture;
        public MirrorIndex Except;
        public MirrorIndex AlsoExcept;

        public static bool Shortens => false;

        public readonly bool Leaf(int leaf, ref TreeRay ray)
        {
            ref readonly var item = ref Scene._items[Scene._tree.Order[Scene._tree.Leaves[leaf].First]];
            if (item.Mesh is { } mesh)
            {
                return (item.Fixture.IsNone || item.Fixture != Fixture) && mesh.Any(item.ToLocal(ray));
            }

            return item.Mirror != Except && item.Mirror != AlsoExcept && Scene.MeetsMirror(item, ray, out _);
        }
    }

    private struct ClosestVisitor : ILeafVisitor
    {
        public OcclusionScene Scene;
        public FixtureIndex Fixture;
        public MirrorIndex Except;
        public int Item;
        public int Triangle;

        public static bool Shortens => true;

        public bool Leaf(int leaf, ref TreeRay ray)
        {
            var index = Scene._tree.Order[Scene._tree.Leaves[leaf].First];
            ref readonly var item = ref Scene._items[index];
            if (item.Mesh is { } mesh)
            {
                var local = item.ToLocal(ray);
                if (!item.Fixture.IsNone && item.Fixture == Fixture)
                {
                    return false;
                }

                var triangle = mesh.Closest(ref local);
                if (triangle >= 0)
                {
                    (ray.To, Item, Triangle) = (local.To, index, triangle);
                }
            }
            else if (item.Mirror != Except && Scene.MeetsMirror(item, ray, out var t))
            {
                (ray.To, Item) = (t, index);
            }

            return false;
        }
    }
}
