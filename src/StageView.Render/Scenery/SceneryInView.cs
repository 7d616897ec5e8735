using System.Numerics;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Scenery;

/// <summary>The mesh instances that may be seen in the area of one view: a mirror shows a small part of a rig.</summary>
internal sealed class SceneryInView
{
    private readonly Growing<InstanceRows> _rows = new();

    public ReadOnlySpan<InstanceRows> Rows => _rows.Span;

    /// <summary>Rows of one mesh, counted from this view's first.</summary>
    public List<(int Mesh, int First, int Count)> Runs { get; } = [];

    /// <summary>Stretches of a mesh's indices, each of one row: meshes of which a part is in sight.</summary>
    public List<(int Mesh, int Row, int FirstIndex, int IndexCount)> Parts { get; } = [];

    /// <summary>
    /// Keeps what is not wholly beyond an edge of the area, or behind the eye or the mirror that is looked out of, or a sheet that is seen from its other side
    /// alone: the way from a mirror's image of the eye meets a plane from the same side as the eye's own way over the mirror.
    /// </summary>
    /// <param name="all">The moment's.</param>
    /// <param name="view">Who looks.</param>
    /// <param name="parts">Of meshes with runs those alone that may be in sight; what lies in the same place may then be drawn in another order.</param>
    public void Fill(SceneryRows all, View view, bool parts)
    {
        _rows.Clear();
        Runs.Clear();
        Parts.Clear();
        var seen = new ViewVolume(view);
        foreach (var (mesh, first, count) in all.Runs)
        {
            var from = _rows.Count;
            for (var i = first; i < first + count; i++)
            {
                var ball = all.Balls[i];
                if (seen.MayHold(ball.AsVector3(), ball.W) && Vector4.Dot(all.Fronts[i], new Vector4(view.Eye, 1)) >= 0)
                {
                    _rows.Add(all.Rows[i]);
                }
            }

            if (parts && all.Meshes![mesh].Runs is { Length: > 0 } runs)
            {
                for (var row = from; row < _rows.Count; row++)
                {
                    AddParts(mesh, row, runs, seen);
                }
            }
            else if (_rows.Count > from)
            {
                Runs.Add((mesh, from, _rows.Count - from));
            }
        }
    }

    private void AddParts(int mesh, int row, MeshClusters.Run[] runs, in ViewVolume seen)
    {
        var place = _rows.Span[row];
        for (var i = 0; i < runs.Length; i++)
        {
            // Scaled along its own axes alone, so that all corners are as far from the middle.
            var radius = Vector3.Distance(place.Transform(runs[i].Half), place.Transform(Vector3.Zero));
            if (!seen.MayHold(place.Transform(runs[i].Middle), radius))
            {
                continue;
            }

            if (Parts.Count > 0 && Parts[^1] is var last && last.Mesh == mesh && last.Row == row && last.FirstIndex + last.IndexCount == runs[i].FirstIndex)
            {
                Parts[^1] = last with { IndexCount = last.IndexCount + runs[i].IndexCount };
            }
            else
            {
                Parts.Add((mesh, row, runs[i].FirstIndex, runs[i].IndexCount));
            }
        }
    }
}
