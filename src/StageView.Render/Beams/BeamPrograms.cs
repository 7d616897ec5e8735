using Silk.NET.OpenGL;

namespace StageView.Render;

/// <summary>A beam shader in its variants (omnidirectional, shadowed, with gobo), each compiled when first needed.</summary>
internal sealed class BeamPrograms(GL gl, string fragment, params string[] always) : IDisposable
{
    private readonly GpuProgram?[] _byKind = new GpuProgram?[BeamHulls.Kinds];

    public GpuProgram Of(int kind) => _byKind[kind] ??= new GpuProgram(gl, "beam.vert", fragment, Defines(kind));

    public void Dispose()
    {
        foreach (var program in _byKind)
        {
            program?.Dispose();
        }
    }

    private string[] Defines(int kind)
    {
        var defines = new List<string>(always);
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

        return [.. defines];
    }
}
