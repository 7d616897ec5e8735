namespace StageView.Stage.Survey;

/// <summary>How far off readings are taken to be, one standard deviation each, rad.</summary>
/// <param name="Axis">Of pan and of tilt.</param>
/// <param name="Centring">Of the beam's middle on its mark, by eye, in any direction.</param>
public readonly record struct AngleSpread(double Axis, double Centring)
{
    /// <summary>.2 degrees on an axis, .1 degrees by eye: common practice, no source.</summary>
    public static AngleSpread Default { get; } = OfDegrees(.2, .1);

    public static AngleSpread OfDegrees(double axis, double centring) => new(axis * Math.PI / 180, centring * Math.PI / 180);
}
