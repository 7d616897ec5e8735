using StageView.Light.Geometry;
using StageView.Stage.Heads;

namespace StageView.Stage.Survey;

/// <summary>The axis of a beam as the rig file has its head, and the mark that it really was on.</summary>
/// <param name="Origin">The lens, world, m.</param>
/// <param name="Direction">Unit direction of the beam, world.</param>
/// <param name="PerPan">How the direction changes with pan, per rad.</param>
/// <param name="PerTilt">How it changes with tilt, per rad.</param>
/// <param name="Mark">World, m.</param>
public sealed record SightedRay(Vector3d Origin, Vector3d Direction, Vector3d PerPan, Vector3d PerTilt, Vector3d Mark)
{
    /// <summary>The ray of a sighting whose pan and tilt are known, from the same axes that the stage moves.</summary>
    /// <param name="sighting">A sighting.</param>
    /// <param name="pan">Degrees.</param>
    /// <param name="tilt">Degrees.</param>
    public static SightedRay Of(Sighting sighting, double pan, double tilt)
    {
        ArgumentNullException.ThrowIfNull(sighting);
        var fixture = sighting.Fixture;
        var chain = HeadChain.Of(fixture, fixture.Pose) ?? throw new ArgumentException($"{fixture.Name} has no axes", nameof(sighting));
        var (origin, direction) = chain.Forward(pan, tilt);

        // The middle of one degree either way: what comes of single precision is then a ten-thousandth.
        Vector3d Change(double p, double t) =>
            (Vector3d.From(chain.Forward(pan + p, tilt + t).Direction) - Vector3d.From(chain.Forward(pan - p, tilt - t).Direction)) * (90 / Math.PI);
        return new SightedRay(Vector3d.From(origin), Vector3d.From(direction).Unit, Change(1, 0), Change(0, 1), sighting.At);
    }
}
