using Silk.NET.OpenGL;

namespace StageView.Render;

/// <summary>
/// Adds the light that the haze in each beam scatters to the eye. From outside, a hull's front faces in front of the surfaces are drawn; from
/// inside, its back faces whatever lies before them.
/// </summary>
internal sealed class HazePass(GL gl) : IDisposable
{
    private readonly Dictionary<int, BeamPrograms> _marches = [];
    private readonly BeamPrograms _programs = new(gl, "haze.frag", "GAUSS_ONE gauss6", "GAUSS_PART gauss3", "LOOKS 14", "EDGE_STEPS 3", "STEPS 16");

    /// <param name="march">Steps of the naive march of the benchmark, or 0.</param>
    public void Draw(Targets targets, BeamHullBuffer hulls, int march)
    {
        var programs = march == 0 ? _programs : March(march);
        PassState.AddLight(gl, targets.Light);
        targets.Distance.Bind(Slots.DistanceMap);
        gl.DepthFunc(DepthFunction.Less);
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            if (hulls.Has(kind, false))
            {
                programs.Of(kind).Use();
                gl.Enable(EnableCap.DepthTest);
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
    }

    public void Dispose()
    {
        _programs.Dispose();
        foreach (var march in _marches.Values)
        {
            march.Dispose();
        }
    }

    private BeamPrograms March(int steps)
    {
        if (!_marches.TryGetValue(steps, out var programs))
        {
            _marches[steps] = programs = new BeamPrograms(gl, "march.frag", $"MARCH {steps}");
        }

        return programs;
    }
}
