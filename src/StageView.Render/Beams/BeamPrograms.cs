using Silk.NET.OpenGL;
using StageView.Render.Resources;

namespace StageView.Render.Beams;

/// <summary>A beam shader in its variants (omnidirectional, shadowed, with gobo), each compiled when first needed.</summary>
internal sealed class BeamPrograms(GL gl, ShaderSource fragment, params string[] always) : IDisposable
{
    private static readonly (int Bit, string Define)[] Variants =
    [
        (BeamHulls.Omni, "OMNI"), (BeamHulls.Shadowed, "SHADOWS"), (BeamHulls.Gobo, "GOBOS"), (BeamHulls.Hard, "HARD"), (BeamHulls.Web, "WEBS"),
        (BeamHulls.AfterMirror, "AFTER_MIRROR"), (BeamHulls.Formed, "FORMED"),
    ];

    private readonly KindPrograms _programs = new(kind => new GpuProgram(gl, "beam.vert", fragment, [.. always, .. Defines(kind)]));

    public GpuProgram Of(int kind) => _programs.Of(kind);

    public void Dispose() => _programs.Dispose();

    /// <summary>What a kind of beam needs its shaders compiled with.</summary>
    public static string[] Defines(int kind) => [.. Variants.Where(v => (kind & v.Bit) != 0).Select(v => v.Define)];
}
