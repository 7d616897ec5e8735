using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Interreflection;

/// <summary>All matt surfaces of a moment as patches: how finely, which one a ray met. Holds no reference to the moment's pooled memory.</summary>
internal sealed class PatchMap
{
    /// <summary>Patches at most, sides counted; only pieces without number make more.</summary>
    public const int Most = 10_000;

    /// <summary>Instead of a patch: the inside of a closed body, where no light comes.</summary>
    public const int Inside = -2;

    /// <summary>A patch's side at least, m.</summary>
    private const float Finest = 0.25f;

    /// <summary>Of a figure's patches, m: face, chest and back are told apart.</summary>
    private const float OfPeople = 0.45f;

    private readonly PatchGrid?[] _byInstance;
    private readonly double[] _areas;
    private readonly int[] _grids;

    /// <param name="moment">What stands where.</param>
    /// <param name="shapes">Shapes made before, by mesh, scale and side; new ones are added.</param>
    public PatchMap(Moment moment, Dictionary<(SceneMesh Mesh, Vector3 Scale, float Side), PatchShape> shapes)
    {
        var area = 0.0;
        foreach (ref readonly var piece in moment.Scenery.Span)
        {
            area += Counts(moment, piece) ? Area(moment.Meshes[piece.Mesh.Value], piece.Scale) : 0;
        }

        for (var side = Step(MathF.Max(Finest, MathF.Sqrt((float)area / Most))); ; side *= 1.25f)
        {
            _byInstance = Make(moment, shapes, side, side > 100 ? int.MaxValue : Most, out var count);
            if (count <= Most || side > 100)
            {
                (_areas, _grids, Side) = (new double[count], new int[count], side);
                break;
            }
        }

        for (var g = 0; g < _byInstance.Length; g++)
        {
            for (var p = 0; _byInstance[g] is { } grid && p < grid.Shape.Count; p++)
            {
                (_areas[grid.First + p], _grids[grid.First + p]) = (grid.Shape.Area(p), g);
            }
        }
    }

    /// <summary>Patches in all.</summary>
    public int Count => _areas.Length;

    /// <summary>Side of a patch, m.</summary>
    public float Side { get; }

    /// <summary>For each piece of the moment's scenery its grid, or null where it counts for nothing.</summary>
    public ReadOnlySpan<PatchGrid?> Grids => _byInstance;

    /// <summary>Leaves of each patch's area the part that no closed body stands on.</summary>
    /// <param name="shares">0 to 1 of each.</param>
    public void Uncover(ReadOnlySpan<float> shares)
    {
        for (var i = 0; i < shares.Length; i++)
        {
            _areas[i] *= shares[i] > 0 ? shares[i] : 1;
        }
    }

    /// <summary>Area of each patch, m².</summary>
    public ReadOnlySpan<double> Areas => _areas;

    /// <summary>The piece of scenery that a patch belongs to.</summary>
    public InstanceIndex InstanceOf(int patch) => new(_grids[patch]);

    /// <summary>Whether a piece has this shape.</summary>
    public bool Uses(PatchShape shape) => Array.Exists(_byInstance, g => g is { } grid && grid.Shape == shape);

    /// <summary>The patch that a ray met, <see cref="Inside"/>, or -1.</summary>
    public int Find(in SceneHit hit)
    {
        if (_byInstance[hit.Instance.Value] is not { } grid)
        {
            return -1;
        }

        var turn = Quaternion.Conjugate(grid.Pose.Orientation);
        var normal = Vector3.Transform(hit.Normal, turn);
        if (hit.Triangle >= 0 && grid.Shape.IsInside(hit.Triangle, normal))
        {
            return Inside;
        }

        var found = grid.Shape.Find(Vector3.Transform(hit.Point - grid.Pose.Position, turn), normal);
        return found < 0 ? -1 : grid.First + found;
    }

    /// <summary>A place on a patch; even shares are spread evenly.</summary>
    public Vector3 Place(int patch, float a, float b, out Vector3 normal)
    {
        var grid = _byInstance[_grids[patch]]!.Value;
        var place = grid.Shape.Place(patch - grid.First, a, b, out normal);
        normal = grid.Pose.TransformDirection(normal);
        return grid.Pose.TransformPoint(place);
    }

    private static bool Counts(Moment moment, in MeshInstance piece) =>
        piece.BlocksLight && (uint)piece.Mesh.Value < (uint)moment.Meshes.Count && piece.Scale.X * piece.Scale.Y * piece.Scale.Z != 0;

    /// <summary>Sides go in steps, so that a piece that moves or grows leaves the others' patches as they are.</summary>
    private static float Step(float side) => MathF.Pow(1.25f, MathF.Ceiling(MathF.Log(side, 1.25f)));

    private static double Area(SceneMesh mesh, Vector3 scale)
    {
        var sum = 0.0;
        for (var i = 0; i + 2 < mesh.Indices.Length; i += 3)
        {
            var a = mesh.Positions[mesh.Indices[i]] * scale;
            sum += Vector3.Cross((mesh.Positions[mesh.Indices[i + 1]] * scale) - a, (mesh.Positions[mesh.Indices[i + 2]] * scale) - a).Length() / 2;
        }

        return sum;
    }

    private static PatchGrid?[] Make(
        Moment moment, Dictionary<(SceneMesh Mesh, Vector3 Scale, float Side), PatchShape> shapes, float side, int most, out int count)
    {
        var grids = new PatchGrid?[moment.Scenery.Length];
        count = 0;
        for (var i = 0; i < grids.Length && count <= most; i++)
        {
            var piece = moment.Scenery.Span[i];
            if (!Counts(moment, piece))
            {
                continue;
            }

            // Trusses and pipes are all edges: their patches are longer.
            var mine = piece.Kind switch { SceneryKind.Person => MathF.Min(side, OfPeople), SceneryKind.Structure => 2 * side, _ => side };
            var key = (moment.Meshes[piece.Mesh.Value], piece.Scale, mine);
            if (!shapes.TryGetValue(key, out var shape))
            {
                shapes[key] = shape = new PatchShape(key.Item1, key.Scale, mine);
            }

            grids[i] = new PatchGrid(shape, piece.Pose, count, Vector3.Clamp(piece.Albedo, Vector3.Zero, new Vector3(MattSolver.MostReflectance)));
            count += shape.Count;
        }

        return grids;
    }
}

/// <summary>The patches of one piece of scenery.</summary>
/// <param name="Shape">Its grid, in the mesh's axes after scaling.</param>
/// <param name="Pose">Where it hangs.</param>
/// <param name="First">Number of its first patch.</param>
/// <param name="Albedo">Its reflectance, linear Rec.709.</param>
internal readonly record struct PatchGrid(PatchShape Shape, Pose Pose, int First, Vector3 Albedo);
