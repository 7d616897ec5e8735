using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Render.Scenery;

/// <summary>A moment's mesh instances, sorted by mesh, each with a ball around it.</summary>
internal sealed class SceneryRows
{
    private InstanceRows[] _rows = [];
    private Vector4[] _balls = [];
    private Vector4[] _fronts = [];
    private int[] _next = [];
    private int _count;

    public ReadOnlySpan<InstanceRows> Rows => _rows.AsSpan(0, _count);

    /// <summary>Of each row: middle and radius, m.</summary>
    public ReadOnlySpan<Vector4> Balls => _balls.AsSpan(0, _count);

    /// <summary>Of each row: the plane in front of which alone it is seen, n·X + d ≥ 0; zero for what is seen from everywhere.</summary>
    public ReadOnlySpan<Vector4> Fronts => _fronts.AsSpan(0, _count);

    /// <summary>Rows of one mesh.</summary>
    public List<(int Mesh, int First, int Count)> Runs { get; } = [];

    /// <summary>The moment's meshes.</summary>
    public MeshStore? Meshes { get; private set; }

    /// <param name="moment">What stands where.</param>
    /// <param name="meshes">Its meshes.</param>
    /// <param name="matt">Light between matt surfaces; each row's albedo gets the first row of its light as a fourth number.</param>
    public void Fill(Moment moment, MeshStore meshes, MattStore matt)
    {
        Meshes = meshes;
        var scenery = moment.Scenery.Span;
        if (_rows.Length < scenery.Length)
        {
            (_rows, _balls, _fronts) = (new InstanceRows[scenery.Length * 2], new Vector4[scenery.Length * 2], new Vector4[scenery.Length * 2]);
        }

        if (_next.Length < meshes.Count + 1)
        {
            _next = new int[meshes.Count + 1];
        }

        Runs.Clear();
        _next.AsSpan().Clear();
        foreach (ref readonly var s in scenery)
        {
            if ((uint)s.Mesh.Value < (uint)meshes.Count)
            {
                _next[s.Mesh.Value + 1]++;
            }
        }

        for (var m = 0; m < meshes.Count; m++)
        {
            if (_next[m + 1] > 0)
            {
                Runs.Add((m, _next[m], _next[m + 1]));
            }

            _next[m + 1] += _next[m];
        }

        _count = _next[meshes.Count];

        for (var i = 0; i < scenery.Length; i++)
        {
            ref readonly var s = ref scenery[i];
            if ((uint)s.Mesh.Value >= (uint)meshes.Count)
            {
                continue;
            }

            var at = _next[s.Mesh.Value]++;
            var rows = InstanceRows.Of(s);
            _rows[at] = rows with { Albedo = new Vector4(s.Albedo, matt.FirstOf(i)) };
            var (low, high) = (meshes[s.Mesh.Value].Bounds.Low, meshes[s.Mesh.Value].Bounds.High);
            _balls[at] = new Vector4(rows.Transform((low + high) / 2), ((high - low) * s.Scale).Length() / 2);
            _fronts[at] = new Vector4(s.SeenFrom, -Vector3.Dot(s.SeenFrom, s.Pose.Position));
        }
    }
}
