using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Sampling;

namespace StageView.Light.Interreflection;

/// <summary>Where the light of one source lands.</summary>
/// <param name="Patch">Which patch.</param>
/// <param name="Flux">lm for each lumen of a white beam, by colour; lm for each cd/m² of a block of pixels.</param>
internal readonly record struct PatchShare(int Patch, Vector3 Flux);

/// <summary>Where the light of a beam or of a block of pixels lands.</summary>
/// <param name="Shares">Patch by patch.</param>
/// <param name="OffMirrors">Of a block's, what landed off mirrors, lm for each cd/m²: no beam stands for it.</param>
internal readonly record struct SourceLandings(PatchShare[] Shares, float OffMirrors = 0);

/// <summary>
/// Where beams and pixel surfaces land, patch by patch, in lumens: the meter's intensities, blades, gobos, mirrors' outlines and haze over directions, as the
/// audit adds them up. What a source lights is kept while its geometry stays.
/// </summary>
internal static class DirectLandings
{
    /// <summary>Blocks of a pixel surface along a side at most, and a block's side at least, m.</summary>
    private const int MostBlocks = 8;

    private const float BlockMetres = 0.5f;
    private const int RaysOfBlock = 256;
    private const int RaysOfGlobe = 1024;

    /// <summary>One beam, as if of 1 lm and white.</summary>
    public static SourceLandings OfBeam(Moment moment, in Beam beam, MattRays rays, Rays.OcclusionScene scene, float extinction)
    {
        var one = beam with { FluxLumens = 1, Colour = Vector3.One };
        var met = new SortedDictionary<int, Vector3>();
        var leaving = 0.0;
        var (turns, rings) = beam.Profile.IsOmnidirectional ? (96, 48) : beam.Profile.CutoffRadians > 0.6f ? (48, 24) : (24, 14);
        foreach (var (_, candela, weight, landed) in BeamPencils.Of(moment, scene, one, BeamFlux.Directions(moment, beam, turns, rings)))
        {
            leaving += BeamPhotometry.Luminance(candela) * weight;
            if (landed is not { } hit)
            {
                continue;
            }

            var patch = rays.Patches.Find(hit);
            if (patch >= 0)
            {
                var distance = MathF.Max(0, Vector3.Distance(hit.Point, beam.Apex) - beam.StartDistance);
                met[patch] = met.GetValueOrDefault(patch) + (candela * (float)(weight * Math.Exp(-extinction * distance)));
            }
        }

        // A whole beam's flux is known: what few directions miss of it is put right.
        var whole = beam.Bounces == 0 && beam.Gobo.Image == 0 && beam.Blades.Count == 0 && leaving > 0;
        var right = whole ? (float)(1 / leaving) : 1;
        return new SourceLandings([.. met.Select(m => new PatchShare(m.Key, m.Value * right))]);
    }

    /// <summary>Blocks of a surface: pixels from, to along rows, from, to down columns.</summary>
    public static IEnumerable<(int C0, int C1, int R0, int R1)> Blocks(PixelSurface s)
    {
        if (s.Shape == PixelShape.Globe)
        {
            yield return (0, s.Columns, 0, s.Rows);
            yield break;
        }

        var across = Math.Clamp((int)MathF.Ceiling(s.EdgeU.Length() / BlockMetres), 1, Math.Min(MostBlocks, s.Columns));
        var down = Math.Clamp((int)MathF.Ceiling(s.EdgeV.Length() / BlockMetres), 1, Math.Min(MostBlocks, s.Rows));
        for (var v = 0; v < down; v++)
        {
            for (var u = 0; u < across; u++)
            {
                yield return (u * s.Columns / across, (u + 1) * s.Columns / across, v * s.Rows / down, (v + 1) * s.Rows / down);
            }
        }
    }

    /// <summary>What 1 cd/m² on each block of a surface lands where, lm: π·L·A leave a Lambertian surface.</summary>
    public static SourceLandings[] OfSurface(PixelSurface s, MattRays rays) => [.. Blocks(s).Select(b => OfBlock(s, b.C0, b.C1, b.R0, b.R1, rays))];

    private static SourceLandings OfBlock(PixelSurface s, int c0, int c1, int r0, int r1, MattRays rays)
    {
        var globe = s.Shape == PixelShape.Globe;
        var radius = s.EdgeU.Length() / 2;
        var whole = globe ? 4 * MathF.PI * radius * radius : Vector3.Cross(s.EdgeU, s.EdgeV).Length() * s.Fill * s.Fill;
        var flux = MathF.PI * whole * (c1 - c0) * (r1 - r0) / (s.Columns * s.Rows);
        var count = globe ? RaysOfGlobe : RaysOfBlock;
        var met = new SortedDictionary<int, float>();
        var offMirrors = 0f;
        for (var i = 0; i < count; i++)
        {
            var (a, b) = (Sobol.At(i, 2), Sobol.At(i, 3));
            var normal = globe ? MattRays.AllRound(a, b) : s.FrontNormal;
            var from = globe ? s.Origin + (normal * radius)
                : s.Origin + (s.EdgeU * ((c0 + (a * (c1 - c0))) / s.Columns)) + (s.EdgeV * ((r0 + (b * (r1 - r0))) / s.Rows));
            var direction = MattRays.Cosine(normal, Sobol.At(i, 0), Sobol.At(i, 1));
            var patch = rays.Follow(from + (normal * LightMeter.Lift), direction, s.Fixture, out var way);
            if (patch >= 0)
            {
                met[patch] = met.GetValueOrDefault(patch) + (flux / count * way.Share);
                offMirrors += flux / count * way.OffMirrors;
            }
        }

        return new SourceLandings([.. met.Select(m => new PatchShare(m.Key, new Vector3(m.Value)))], offMirrors);
    }
}
