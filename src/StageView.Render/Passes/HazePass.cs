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

    private const int ScaleOfCoarse = 4;

    /// <summary>Pixels a cell of light that changes slowly in a coarse picture.</summary>
    public const int ScaleOfLamps = 8;

    private readonly Dictionary<string, BeamPrograms> _programs = [];
    private readonly CoarseLight _coarse = new(gl);
    private readonly CoarseLight _thin = new(gl);
    private readonly CoarseLight _wide = new(gl);
    private readonly List<int> _some = [];

    public void Draw(View view, Targets targets, BeamHullBuffer hulls, RenderSettings settings, bool uneven)
    {
        var scale = settings.OwnHaze is not null ? 1 : settings.ScaleOfHaze;
        var wide = settings.OwnHaze is not null ? 1 : Math.Max(scale, settings.ScaleOfWideHaze);
        targets.Distance.Bind(Slots.DistanceMap);
        gl.DepthFunc(DepthFunction.Less);
        if (scale == wide)
        {
            Draw(view, targets, hulls, scale, (0, 1), settings, uneven);
        }
        else
        {
            // Lamps that shine all round fill the picture with light that changes slowly.
            Draw(view, targets, hulls, scale, (0, 2), settings, uneven);
            Draw(view, targets, hulls, wide, (1, 2), settings, uneven);
        }
    }

    /// <summary>
    /// Beams at a quarter of the resolution, thin ones at half of it, lamps that shine all round at an eighth; each brought up onto the next finer, so that all
    /// pixels are gone over once.
    /// </summary>
    /// <param name="view">Who looks.</param>
    /// <param name="targets">What the light is added to.</param>
    /// <param name="hulls">The beams.</param>
    /// <param name="settings">How.</param>
    /// <param name="uneven">Haze in patches.</param>
    /// <param name="more">Adds other light in the haze at an eighth of the resolution, or null.</param>
    public void DrawCoarse(View view, Targets targets, BeamHullBuffer hulls, RenderSettings settings, bool uneven, Action? more)
    {
        targets.Distance.Bind(Slots.DistanceMap);
        CoarseLight? coarser = null;
        Find(hulls, (1, 2), settings.LampShadowsInHaze);
        if (_some.Count > 0 || more is not null)
        {
            coarser = _wide;
            _wide.Enter(view, ScaleOfLamps, targets.Distance);
            Draw(hulls, Programs(settings, ScaleOfLamps, uneven), outlines: true, blocks: true);
            if (more is not null)
            {
                _wide.Whole(view, ScaleOfLamps);
                more();
            }
        }

        Find(hulls, (0, 2), settings.LampShadowsInHaze);
        if (_some.Count > 0)
        {
            _coarse.Enter(view, ScaleOfCoarse, targets.Distance);
            Draw(hulls, Programs(settings, ScaleOfCoarse, uneven), outlines: true, blocks: true);
            coarser?.BringUp(view, ScaleOfLamps, _coarse, ScaleOfCoarse);
            coarser = _coarse;
        }

        var scale = coarser == _coarse ? ScaleOfCoarse : ScaleOfLamps;
        if (hulls.HasThin())
        {
            _thin.Enter(view, ScaleOfThin, targets.Distance);
            DrawThin(hulls, Programs(settings, ScaleOfThin, uneven), settings.LampShadowsInHaze);
            coarser?.BringUp(view, scale, _thin, ScaleOfThin);
            (coarser, scale) = (_thin, ScaleOfThin);
        }

        coarser?.BringUp(view, targets, scale, false);
    }

    private void DrawThin(BeamHullBuffer hulls, BeamPrograms programs, bool lampShadows)
    {
        gl.Disable(EnableCap.DepthTest);
        gl.CullFace(TriangleFace.Back);
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            if (BeamHulls.InHaze(kind, lampShadows) && hulls.HasThin(kind))
            {
                programs.Of(kind).Use();
                hulls.DrawOutlines(kind, thin: true);
            }
        }
    }

    /// <summary>Every second kind, or all, at one scale.</summary>
    private void Draw(View view, Targets targets, BeamHullBuffer hulls, int scale, (int First, int Step) kinds, RenderSettings settings, bool uneven)
    {
        Find(hulls, kinds, settings.LampShadowsInHaze);
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

        Draw(hulls, Programs(settings, scale, uneven), outlines: false, blocks: scale > 1);
        if (scale > 1)
        {
            _coarse.BringUp(view, targets, scale, false);
        }
    }

    private void Find(BeamHullBuffer hulls, (int First, int Step) kinds, bool lampShadows)
    {
        _some.Clear();
        for (var kind = kinds.First; kind < BeamHulls.Kinds; kind += kinds.Step)
        {
            if (BeamHulls.InHaze(kind, lampShadows) && (hulls.Has(kind, false) || hulls.Has(kind, true)))
            {
                _some.Add(kind);
            }
        }
    }

    private void Draw(BeamHullBuffer hulls, BeamPrograms programs, bool outlines, bool blocks)
    {
        foreach (var kind in _some)
        {
            if (hulls.Has(kind, false))
            {
                programs.Of(kind).Use();
                if (blocks)
                {
                    gl.Disable(EnableCap.DepthTest);
                }
                else
                {
                    gl.Enable(EnableCap.DepthTest);
                }

                gl.CullFace(TriangleFace.Back);
                if (outlines)
                {
                    hulls.DrawOutlines(kind, thin: false);
                }
                else
                {
                    hulls.Draw(kind, false);
                }
            }

            if (hulls.Has(kind, true))
            {
                programs.Of(kind).Use();
                gl.Disable(EnableCap.DepthTest);
                gl.CullFace(TriangleFace.Front);
                hulls.Draw(kind, true);
            }
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
        _wide.Dispose();
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
