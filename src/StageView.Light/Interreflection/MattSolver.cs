using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Interreflection;

/// <summary>
/// Light between matt surfaces: what walls, floors and people throw on each other. Radiosity over patches of the scenery (Goral et al. 1984) with form factors
/// by rays. What depends on geometry alone is kept, so that other levels ask for another solution and no other rays; a moment asked for alone gives the same
/// light, to the bit, as after others. One caller at a time.
/// </summary>
/// <remarks>
/// Surfaces are taken as perfectly matt, each patch as evenly bright, painted ones with their mean. Laser spots and fixtures' bodies are left out; mirrors are
/// followed, haze takes its share on the way. A reflectance counts as <see cref="MostReflectance"/> at most.
/// </remarks>
public sealed class MattSolver
{
    /// <summary>Above it a closed room's light would hardly ever end.</summary>
    public const float MostReflectance = 0.98f;

    /// <summary>Solved when what the last round added is below this share of what was thrown back first.</summary>
    public const double Residual = 1e-4;

    private const int MostRounds = 600;

    /// <summary>Sources' landings are forgotten when not asked for so many times.</summary>
    private const int Patience = 3;

    private readonly Dictionary<(SceneMesh Mesh, Vector3 Scale, float Side), PatchShape> _shapes = [];
    private readonly Dictionary<SourceKey, (SourceLandings[] Landings, int Asked)> _landings = [];
    private int[] _geometry = [];
    private OcclusionScene? _scene;
    private MattRays? _rays;
    private PatchLinks? _links;
    private int _asked;

    /// <summary>How often links were made anew.</summary>
    internal int LinksMade { get; private set; }

    internal PatchLinks Links => _links!;

    /// <summary>The light between the matt surfaces of a moment.</summary>
    /// <param name="moment">What shines on what.</param>
    /// <param name="throughHaze">Whether haze takes its share on the way.</param>
    public MattLight Solve(Moment moment, bool throughHaze = true)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var extinction = throughHaze ? moment.Haze.ExtinctionPerMetre : 0;
        Hold(moment, extinction);
        _asked++;
        var direct = Direct(moment, extinction, out var offMirrors);
        return Solve(_rays!, _links!, direct, offMirrors);
    }

    /// <summary>Jacobi's iteration of E = direct + F·(ρ·E).</summary>
    internal static MattLight Solve(MattRays rays, PatchLinks links, Vector3[] direct, double offMirrors = 0)
    {
        var patches = rays.Patches;
        var count = patches.Count;
        var (exitance, indirect) = (new Vector3[count], new Vector3[count]);
        var albedos = new Vector3[count];
        foreach (var grid in patches.Grids)
        {
            if (grid is { } g)
            {
                albedos.AsSpan(g.First, g.Shape.Count).Fill(g.Albedo);
            }
        }

        var (first, last, rounds) = (0.0, double.NaN, 0);
        for (; rounds < MostRounds; rounds++)
        {
            var (change, all) = (0.0, 0.0);
            for (var i = 0; i < count; i++)
            {
                var b = albedos[i] * (direct[i] + indirect[i]);
                change += patches.Areas[i] * Vector3.Abs(b - exitance[i]).Length();
                all += patches.Areas[i] * b.Length();
                exitance[i] = b;
            }

            first = rounds == 0 ? all : first;
            // The rounds still to come add change·q/(1 - q), q the ratio of the last two.
            var q = Math.Clamp(last > 0 ? change / last : 0.98, 0, 0.99);
            last = change;
            if (change * q / (1 - q) <= Residual * first)
            {
                break;
            }

            links.Gather(exitance, indirect);
        }

        return new MattLight(rays, links, direct, indirect, exitance) { Rounds = rounds, SurfacesOffMirrors = offMirrors };
    }

    /// <summary>Makes the links anew where something that blocks light, or throws it, is another or elsewhere.</summary>
    private void Hold(Moment moment, float extinction)
    {
        var geometry = GeometryKey.Of(moment, extinction);
        if (_rays is not null && _geometry.AsSpan().SequenceEqual(geometry))
        {
            return;
        }

        _geometry = geometry;
        _landings.Clear();
        // A new one each time: what was handed out before still reads its own.
        _scene = OcclusionScene.From(moment);
        var patches = new PatchMap(moment, _shapes);
        foreach (var key in _shapes.Where(s => !patches.Uses(s.Value)).Select(s => s.Key).ToList())
        {
            _shapes.Remove(key);
        }

        _rays = new MattRays(_scene, patches, moment.Mirrors.ToArray(), extinction);
        _links = new PatchLinks(_rays);
        LinksMade++;
    }

    /// <summary>Illuminance of each patch straight from the sources, lx.</summary>
    private Vector3[] Direct(Moment moment, float extinction, out double offMirrors)
    {
        var rays = _rays!;
        var (beams, surfaces) = (moment.Beams.Length, moment.PixelSurfaces.Length);
        var keys = new SourceKey[beams + surfaces];
        var found = new SourceLandings[keys.Length][];
        Parallel.For(0, keys.Length, i =>
        {
            if (i >= beams && !Lights(moment, moment.PixelSurfaces.Span[i - beams]))
            {
                found[i] = [];
                return;
            }

            keys[i] = i < beams ? SourceKey.Of(moment, moment.Beams.Span[i]) : SourceKey.Of(moment.PixelSurfaces.Span[i - beams]);
            found[i] = _landings.TryGetValue(keys[i], out var known) ? known.Landings
                : i < beams ? [DirectLandings.OfBeam(moment, moment.Beams.Span[i], rays, _scene!, extinction)]
                : DirectLandings.OfSurface(moment.PixelSurfaces.Span[i - beams], rays);
        });
        var flux = new Vector3[rays.Patches.Count];
        offMirrors = 0;
        for (var i = 0; i < keys.Length; i++)
        {
            if (found[i].Length == 0)
            {
                continue;
            }

            _landings[keys[i]] = (found[i], _asked);
            if (i < beams)
            {
                ref readonly var beam = ref moment.Beams.Span[i];
                Add(flux, found[i][0].Shares, beam.Colour * beam.FluxLumens);
                continue;
            }

            var surface = moment.PixelSurfaces.Span[i - beams];
            var sums = new SurfaceSums(surface, moment.Pixels.Span);
            var block = 0;
            foreach (var (c0, c1, r0, r1) in DirectLandings.Blocks(surface))
            {
                var mean = sums.Mean(c0, c1, r0, r1);
                Add(flux, found[i][block].Shares, mean);
                offMirrors += found[i][block++].OffMirrors * BeamPhotometry.Luminance(mean);
            }
        }

        foreach (var old in _landings.Where(l => l.Value.Asked + Patience < _asked).Select(l => l.Key).ToList())
        {
            _landings.Remove(old);
        }

        for (var p = 0; p < flux.Length; p++)
        {
            flux[p] /= (float)rays.Patches.Areas[p];
        }

        return flux;
    }

    private static void Add(Vector3[] flux, PatchShare[] shares, Vector3 of)
    {
        foreach (var share in of == Vector3.Zero ? [] : shares)
        {
            flux[share.Patch] += share.Flux * of;
        }
    }

    private static bool Lights(Moment moment, in PixelSurface surface) => surface.Columns > 0 && surface.Rows > 0
        && moment.Pixels.Span.Slice(surface.FirstPixel, surface.Columns * surface.Rows).IndexOfAnyExcept(Vector3.Zero) >= 0
        && !LightMeter.IsLampInside(moment, surface);
}
