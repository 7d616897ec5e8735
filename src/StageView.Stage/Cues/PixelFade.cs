using StageView.Rig.Pieces;
using StageView.Stage.Levels;

namespace StageView.Stage.Cues;

/// <summary>The way of all pixels of a fixture from one colour to another.</summary>
internal sealed class PixelFade(float[] now)
{
    private float[] _from = now;
    private float[] _to = now;
    private double _start;
    private double _seconds;
    private string _curve = "linear";

    public void GoTo(float[] goal, double start, double seconds, string curve)
    {
        if (!goal.AsSpan().SequenceEqual(_to))
        {
            (_from, _to, _start, _seconds, _curve) = (At(start), goal, start, seconds, curve);
        }
    }

    public void Write(LevelsEncoder levels, Fixture fixture, double t) => levels.SetPixels(fixture, At(t));

    private float[] At(double t)
    {
        var share = t <= _start ? 0 : t >= _start + _seconds ? 1 : (float)FadeCurve.At(_curve, (t - _start) / _seconds);
        return share >= 1 || t >= _start + _seconds ? _to : share <= 0 ? _from : [.. _from.Select((v, i) => float.Lerp(v, _to[i], share))];
    }
}
