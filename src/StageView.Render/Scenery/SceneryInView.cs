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

    /// <summary>
    /// Keeps what is not wholly beyond an edge of the area, or behind the eye or the mirror that is looked out of, or a sheet that is seen from its other side
    /// alone: the way from a mirror's image of the eye meets a plane from the same side as the eye's own way over the mirror.
    /// </summary>
    public void Fill(SceneryRows all, View view)
    {
        _rows.Clear();
        Runs.Clear();
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

            if (_rows.Count > from)
            {
                Runs.Add((mesh, from, _rows.Count - from));
            }
        }
    }
}
