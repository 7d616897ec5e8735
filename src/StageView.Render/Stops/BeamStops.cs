using System.Numerics;
using StageView.Light.Moments;
using StageView.Render.Resources;
using StageView.Render.Scenery;

namespace StageView.Render.Stops;

/// <summary>
/// Where each beam's light ends. A flat side of scenery, or a mirror, that covers a beam's whole section ends it at a plane, without
/// a shadow map; what else stands in the beam is listed as a caster and makes it a beam with a shadow map. Earlier legs of a reflected beam are looked at
/// as unfolded: scenery mirrored behind the mirror.
/// </summary>
internal sealed class BeamStops
{
    /// <summary>Beams that are looked at by one thread, in a row.</summary>
    private const int Together = 16;

    private readonly Growing<BeamShape> _shapes = new();
    private readonly Growing<Caster> _casters = new();
    private readonly List<StopFinder> _finders = [];

    public Occluders Occluders { get; } = new();

    /// <summary>All beams, in their order, and the parts of lamps.</summary>
    public ReadOnlySpan<BeamShape> Shapes => _shapes.Span;

    public ReadOnlySpan<Caster> CastersOf(in Stop stop) => _casters.Span.Slice(stop.FirstCaster, stop.Casters);

    public void Fill(Moment moment, MeshStore meshes)
    {
        _shapes.Clear();
        _casters.Clear();
        Occluders.Fill(moment, meshes);
        var beams = moment.Beams.Length;
        var finders = (beams + Together - 1) / Together;
        while (_finders.Count < finders)
        {
            _finders.Add(new StopFinder(Occluders));
        }

        Parallel.For(0, finders, i => _finders[i].Find(moment, i * Together, Math.Min(beams, (i + 1) * Together)));
        for (var i = 0; i < finders; i++)
        {
            foreach (ref readonly var shape in _finders[i].Shapes)
            {
                _shapes.Add(shape with { Stop = shape.Stop with { FirstCaster = shape.Stop.FirstCaster + _casters.Count } });
            }

            _casters.Add(_finders[i].Casters);
        }
    }

    /// <summary>The reflection that unfolds the leg before <paramref name="beam"/>'s last mirror: parent's apex to its image.</summary>
    public static Plane Unfolding(Moment moment, in Beam beam)
    {
        var parent = moment[beam.Parent];
        var normal = moment[moment.LastMirrorOf(beam)].Normal;
        return new Plane(normal, -Vector3.Dot(normal, (parent.Apex + beam.Apex) / 2));
    }

    /// <param name="Plane">Half-space that the light stays in (n, d), or zero when nothing ends it.</param>
    /// <param name="ClearTo">Distance along the axis before which no shadow can lie, m.</param>
    public readonly record struct Stop(Vector4 Plane, int FirstCaster, int Casters, float ClearTo)
    {
        public bool Shadowed => Casters > 0;
    }

    /// <param name="Occluder">Index in <see cref="Occluders.Items"/>.</param>
    /// <param name="LegsBack">0 for the beam's own leg, 1 for the one before its last mirror, and so on.</param>
    public readonly record struct Caster(int Occluder, int LegsBack);
}
