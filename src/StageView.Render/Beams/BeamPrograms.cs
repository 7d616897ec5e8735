using Silk.NET.OpenGL;
using StageView.Render.Resources;

namespace StageView.Render.Beams;

/// <summary>A beam shader in its variants (omnidirectional, shadowed, with gobo), each compiled when first needed.</summary>
internal sealed class BeamPrograms(GL gl, string fragment, params string[] always) : IDisposable
{
    private readonly KindPrograms _programs = new(kind => new GpuProgram(gl, "beam.vert", fragment, [.. always, .. Defines(kind)]));

    public GpuProgram Of(int kind) => _programs.Of(kind);

    public void Dispose() => _programs.Dispose();

    /// <summary>What a kind of beam needs its shaders compiled with.</summary>
    public static string[] Defines(int kind)
    {
        var defines = new List<string>();
        if ((kind & 1) != 0)
        {
            defines.Add("OMNI");
        }

        if ((kind & 2) != 0)
        {
            defines.Add("SHADOWS");
        }

        if ((kind & 4) != 0)
        {
            defines.Add("GOBOS");
        }

        if ((kind & 8) != 0)
        {
            defines.Add("HARD");
        }

        if ((kind & 16) != 0)
        {
            defines.Add("WEBS");
        }

        if ((kind & 32) != 0)
        {
            defines.Add("AFTER_MIRROR");
        }

        return [.. defines];
    }
}
