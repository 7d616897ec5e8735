using System.Numerics;
using StageView.Light;

namespace StageView.Render;

/// <summary>
/// Where each beam's light ends. A flat side of scenery, or a mirror, that covers a beam's whole section ends it at a plane, without
/// a shadow map; what stands in the beam before that makes it a beam with a shadow map.
/// </summary>
internal sealed class BeamStops
{
    private readonly Growing<Stop> _stops = new();

    public Stop Of(int beam) => _stops.Span[beam];

    public void Fill(Moment moment, MeshStore meshes)
    {
        _stops.Clear();
        for (var i = 0; i < moment.Beams.Length; i++)
        {
            _stops.Add(default(Stop));
        }
    }

    /// <param name="Plane">Half-space that the light stays in (n, d), or zero when nothing ends it.</param>
    /// <param name="Shadowed">Something stands in the beam.</param>
    public readonly record struct Stop(Vector4 Plane, bool Shadowed);
}
