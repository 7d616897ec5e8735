using StageView.Render.Resources;

namespace StageView.Render.Beams;

/// <summary>A shader in its variants by kind of beam, see <see cref="BeamHulls.Kind"/>, each compiled when first needed.</summary>
internal sealed class KindPrograms(Func<int, GpuProgram> make) : IDisposable
{
    private readonly GpuProgram?[] _byKind = new GpuProgram?[BeamHulls.ShaderBits + 1];

    public GpuProgram Of(int kind) => _byKind[kind & BeamHulls.ShaderBits] ??= make(kind & BeamHulls.ShaderBits);

    public void Dispose()
    {
        foreach (var program in _byKind)
        {
            program?.Dispose();
        }
    }
}
