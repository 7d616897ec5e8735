using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Stage.State;

/// <summary>What one emitter gives at full intensity: everything but dimmer and shutter.</summary>
internal sealed class EmitterState(int maxBeams)
{
    /// <summary>Beams with the flux they have while the shutter is open and the dimmer full; <see cref="Count"/> of them hold.</summary>
    public Beam[] Beams { get; } = new Beam[maxBeams];

    public int Count { get; set; }

    /// <summary>Colour of a pixel grid driven by channels: linear Rec.709 with the luminance as a share of the peak.</summary>
    public Vector3 Surface { get; set; }

    /// <summary>What lies in the way of the light: linear Rec.709 transmission of wheels.</summary>
    public Vector3 Filter { get; set; } = Vector3.One;

    public float LaserLumens { get; set; }

    /// <summary>Share of the laser's full power.</summary>
    public float LaserShare { get; set; }

    public Vector3 LaserColour { get; set; }

    /// <summary>The figure that the laser draws, 1-based; 0 for a beam that stands still.</summary>
    public int Scan { get; set; }

    /// <summary>Zoom in force, full beam angle, rad; along the node's own X where the beam isn't round.</summary>
    public float BeamAngle { get; set; }

    /// <summary>The same along its own Y.</summary>
    public float BeamAngleUp { get; set; }
}
