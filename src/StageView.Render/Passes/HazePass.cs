using Silk.NET.OpenGL;
using StageView.Render.Beams;
using StageView.Render.Resources;
using StageView.Render.Settings;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>
/// Adds the light that the haze in each beam scatters to the eye. From outside, a hull's front faces in front of the surfaces are drawn; from
/// inside, its back faces whatever lies before them. At a fraction of the resolution the light goes into a small target first and is brought up after.
/// </summary>
internal sealed class HazePass(GL gl) : IDisposable
{
    private static readonly string[] s_fewest = ["GAUSS_ONE gauss3", "GAUSS_PART gauss2", "LOOKS 6", "EDGE_STEPS 1", "STEPS 6"];

    private const int ScaleOfThin = 2;

    private readonly Dictionary<string, BeamPrograms> _programs = [];
    private readonly CoarseLight _coarse = new(gl);
    private readonly CoarseLight _thin = new(gl);
    private readonly List<int> _some = [];

    public void Draw(View view, Targets targets, BeamHullBuffer hulls, RenderSettings settings, bool uneven)
    {
        var scale = settings.OwnHaze is not null ? 1 : settings.ScaleOfHaze;
        var wide = settings.OwnHaze is not null ? 1 : Math.Max(scale, settings.ScaleOfWideHaze);
        targets.Distance.Bind(Slots.DistanceMap);
        gl.DepthFunc(DepthFunction.Less);
        if (settings.Coarse)
        {
            // Thin beams cost little and would come apart into beads.
            DrawThin(view, targets, hulls, Programs(settings, ScaleOfThin, uneven), settings.LampShadowsInHaze);
        }

        if (scale == wide)
        {
            Draw(view, targets, hulls, Programs(settings, scale, uneven), scale, (0, 1), settings.LampShadowsInHaze);
        }
        else
        {
            // Lamps that shine all round fill the picture with light that changes slowly.
            Draw(view, targets, hulls, Programs(settings, scale, uneven), scale, (0, 2), settings.LampShadowsInHaze);
            Draw(view, targets, hulls, Programs(settings, wide, uneven), wide, (1, 2), settings.LampShadowsInHaze);
        }
    }

    private void DrawThin(View view, Targets targets, BeamHullBuffer hulls, BeamPrograms programs, bool lampShadows)
    {
        var begun = false;
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            if (BeamHulls.InHaze(kind, lampShadows) && hulls.HasThin(kind))
            {
                if (!begun)
                {
                    _thin.Enter(view, ScaleOfThin);
                    gl.Disable(EnableCap.DepthTest);
                    gl.CullFace(TriangleFace.Back);
                    begun = true;
                }

                programs.Of(kind).Use();
                hulls.DrawThin(kind);
            }
        }

        if (begun)
        {
            _thin.BringUp(view, targets, ScaleOfThin, false);
        }
    }

    /// <summary>Every second kind, or all, at one scale.</summary>
    private void Draw(View view, Targets targets, BeamHullBuffer hulls, BeamPrograms programs, int scale, (int First, int Step) kinds, bool lampShadows)
    {
        _some.Clear();
        for (var kind = kinds.First; kind < BeamHulls.Kinds; kind += kinds.Step)
        {
            if (BeamHulls.InHaze(kind, lampShadows) && (hulls.Has(kind, false) || hulls.Has(kind, true)))
            {
                _some.Add(kind);
            }
        }

        if (_some.Count == 0)
        {
            return;
        }

        if (scale == 1)
        {
            PassState.AddLight(gl, targets.Light);
        }
        else
        {
            _coarse.Enter(view, scale);
        }

        foreach (var kind in _some)
        {
            if (hulls.Has(kind, false))
            {
                programs.Of(kind).Use();
                if (scale == 1)
                {
                    gl.Enable(EnableCap.DepthTest);
                }
                else
                {
                    gl.Disable(EnableCap.DepthTest);
                }

                gl.CullFace(TriangleFace.Back);
                hulls.Draw(kind, false);
            }

            if (hulls.Has(kind, true))
            {
                programs.Of(kind).Use();
                gl.Disable(EnableCap.DepthTest);
                gl.CullFace(TriangleFace.Front);
                hulls.Draw(kind, true);
            }
        }

        if (scale > 1)
        {
            _coarse.BringUp(view, targets, scale, false);
        }
    }

    public void Dispose()
    {
        foreach (var programs in _programs.Values)
        {
            programs.Dispose();
        }

        _coarse.Dispose();
        _thin.Dispose();
    }

    private BeamPrograms Programs(RenderSettings settings, int scale, bool uneven)
    {
        var name = $"{settings.OwnHaze?.Name} {settings.Quality} {settings.Coarse} {scale} {uneven}";
        if (!_programs.TryGetValue(name, out var programs))
        {
            _programs[name] = programs = settings.OwnHaze is { } own
                ? new BeamPrograms(gl, own)
                : new BeamPrograms(gl, "haze.frag", Defines(settings.Quality, scale, uneven, settings.Coarse));
        }

        return programs;
    }

    /// <summary>What the haze integral is compiled with.</summary>
    public static string[] Defines(RenderQuality quality, int scale, bool uneven, bool coarse = false) =>
        [.. coarse ? s_fewest : Points(quality), $"HAZE_SCALE {scale}", uneven ? "UNEVEN" : "EVEN"];

    private static string[] Points(RenderQuality quality) => quality switch
    {
        RenderQuality.Draft => ["GAUSS_ONE gauss4", "GAUSS_PART gauss2", "LOOKS 8", "EDGE_STEPS 2", "STEPS 8"],
        RenderQuality.Fine => ["GAUSS_ONE gauss6", "GAUSS_PART gauss4", "LOOKS 28", "EDGE_STEPS 5", "STEPS 40", "LENS_RAYS 4"],
        _ => ["GAUSS_ONE gauss6", "GAUSS_PART gauss3", "LOOKS 14", "EDGE_STEPS 3", "STEPS 32"],
    };
}
