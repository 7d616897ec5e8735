namespace StageView.Stage.Heads;

/// <param name="PanDegrees">Turn of the pan axis.</param>
/// <param name="TiltDegrees">Turn of the tilt axis.</param>
/// <param name="MissMetres">How far from the target the beam's axis passes.</param>
public readonly record struct PanTiltSolution(float PanDegrees, float TiltDegrees, float MissMetres);
