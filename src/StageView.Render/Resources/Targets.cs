using Silk.NET.OpenGL;

namespace StageView.Render.Resources;

/// <summary>The textures one view is drawn into: surfaces first (albedo, normal, distance), then all light as radiance at the eye.</summary>
internal sealed class Targets : IDisposable
{
    public Targets(GL gl, int width, int height)
    {
        Depth = new GpuTexture(gl, InternalFormat.DepthComponent32f, width, height);
        Radiance = new GpuTexture(gl, InternalFormat.Rgba32f, width, height);
        Albedo = new GpuTexture(gl, InternalFormat.Rgba16f, width, height);
        Normal = new GpuTexture(gl, InternalFormat.Rgba16f, width, height);
        Distance = new GpuTexture(gl, InternalFormat.R32f, width, height);
        Surfaces = new FrameTarget(gl, Depth, Radiance, Albedo, Normal, Distance);
        Light = new FrameTarget(gl, Depth, Radiance);
    }

    public GpuTexture Depth { get; }

    /// <summary>Linear Rec.709 in cd/m², 32-bit floats: lenses reach millions.</summary>
    public GpuTexture Radiance { get; }

    public GpuTexture Albedo { get; }

    public GpuTexture Normal { get; }

    /// <summary>From the eye to the surface, m.</summary>
    public GpuTexture Distance { get; }

    public FrameTarget Surfaces { get; }

    /// <summary>Radiance alone, with the depth test still at hand.</summary>
    public FrameTarget Light { get; }

    public void Dispose()
    {
        Surfaces.Dispose();
        Light.Dispose();
        Depth.Dispose();
        Radiance.Dispose();
        Albedo.Dispose();
        Normal.Dispose();
        Distance.Dispose();
    }
}
