using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Rig.Profiles;
using StageView.Stage.Programs;

namespace StageView.Stage.Optics;

/// <summary>Up to two prisms that stand in one beam: each turns copies of what comes out of the one before.</summary>
internal struct Prisms
{
    private Prism _first, _second;

    /// <summary>Puts one in, counted from 1; those beyond the last count as the last.</summary>
    public void Set(int number, int facets, float spread, IReadOnlyList<PrismFacet> own)
    {
        ref var p = ref Of(ref this, number);
        (p.Facets, p.Spread, p.Own) = (facets, spread, own);
    }

    public void Turn(int number, float radians) => Of(ref this, number).Angle = radians;

    /// <summary>Splits the beam in the first place of a list; how many there are then. Prisms that would make more than the list holds are left out.</summary>
    /// <param name="beams">In: one beam. Out: its copies.</param>
    /// <param name="lens">Where the copies' axes meet, world m.</param>
    public readonly int Split(Span<Beam> beams, Vector3 lens)
    {
        var count = Split(beams, 1, lens, _first);
        return Split(beams, count, lens, _second);
    }

    private static int Split(Span<Beam> beams, int count, Vector3 lens, in Prism prism)
    {
        var facets = prism.Facets;
        if (facets < 2 || count * facets > beams.Length)
        {
            return count;
        }

        var straight = beams[0];
        var axis = count == 1 ? straight.Axis : Mean(beams[..count]);
        var up = count == 1 ? straight.Up : Vector3.Normalize(straight.Up - (axis * Vector3.Dot(straight.Up, axis)));
        var right = Vector3.Cross(axis, up);
        for (var k = count - 1; k >= 0; k--)
        {
            var before = beams[k];
            var state = before.Prism.Facets > 0 ? before.Prism : new PrismState(facets, prism.Angle, prism.Spread);
            for (var i = facets - 1; i >= 0; i--)
            {
                var facet = prism.Own is { Count: > 0 } own ? own[i % own.Count] : new PrismFacet(2 * MathF.PI * i / facets, prism.Spread, Vector3.One);

                // Each facet turns its copy away from the axis, towards its own azimuth.
                var (sin, cos) = Trig.SinCos(prism.Angle + facet.AzimuthRadians);
                var outward = (right * cos) + (up * sin);
                var turn = Trig.Turn(Vector3.Normalize(Vector3.Cross(axis, outward)), facet.TurnRadians);
                var a = Vector3.Transform(before.Axis, turn);
                var colour = facet.Colour == Vector3.One ? before.Colour : before.Colour * facet.Colour;
                var light = facet.Colour == Vector3.One ? 1 : BeamPhotometry.Luminance(colour);
                beams[(k * facets) + i] = before with
                {
                    Axis = a,
                    Up = Vector3.Transform(before.Up, turn),
                    Apex = lens - (a * before.StartDistance),
                    FluxLumens = before.FluxLumens * light / facets,
                    Colour = light > 0 ? colour / light : colour,
                    Prism = state,
                };
            }
        }

        return count * facets;
    }

    private static Vector3 Mean(ReadOnlySpan<Beam> beams)
    {
        var sum = Vector3.Zero;
        foreach (ref readonly var b in beams)
        {
            sum += b.Axis;
        }

        return Vector3.Normalize(sum);
    }

    private static ref Prism Of(ref Prisms prisms, int number)
    {
        if (number < EmitterCompiler.MostPrisms)
        {
            return ref prisms._first;
        }

        return ref prisms._second;
    }

    private struct Prism
    {
        public int Facets;
        public float Spread, Angle;
        public IReadOnlyList<PrismFacet>? Own;
    }
}
