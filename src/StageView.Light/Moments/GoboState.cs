namespace StageView.Light.Moments;

/// <summary>What stands in the gobo plane at this instant.</summary>
/// <param name="Image">1-based index in <see cref="Moment.GoboImages"/>, or 0 for open (the default value is open).</param>
/// <param name="RotationRadians">Rotation about the axis, right hand, rad.</param>
/// <param name="OffsetX">Shift across the field in units of the field radius (wheel between slots, shake); 0 centred.</param>
/// <param name="Radius">Radius of the image's circle in units of the field radius; 0 stands for 1. An animation wheel is larger than the beam.</param>
public readonly record struct GoboState(int Image, float RotationRadians, float OffsetX, float Radius = 0);
