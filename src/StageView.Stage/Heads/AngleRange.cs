namespace StageView.Stage.Heads;

/// <summary>Travel of an axis, degrees.</summary>
internal readonly record struct AngleRange(float From, float To)
{
    public bool Contains(double angle) => angle >= From - 1e-3 && angle <= To + 1e-3;
}
