namespace StageView.Rig.Pieces;

/// <summary>A picture that comes in live, through ffmpeg: a capture card or camera, a screen, or a stream on the network.</summary>
/// <param name="Format">ffmpeg's name of the device's kind, such as <c>v4l2</c> or <c>x11grab</c>; empty for a stream's address.</param>
/// <param name="Address">The device or the address, as ffmpeg takes it.</param>
/// <param name="Width">What it is scaled to, pixels, 1 to 1920.</param>
/// <param name="Height">Pixels, 1 to 1080.</param>
/// <param name="Rate">Frames a second asked of a device; 0 for its own.</param>
public sealed record ContentInput(string Format, string Address, int Width, int Height, int Rate);
