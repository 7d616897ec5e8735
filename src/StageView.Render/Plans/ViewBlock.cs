using System.Numerics;
using System.Runtime.InteropServices;
using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Layout;
using StageView.Render.Resources;
using StageView.Render.Settings;
using StageView.Render.Views;

namespace StageView.Render.Plans;

/// <summary>The uniform block of <c>shaders/include/view.glsl</c>, for all views of a frame in one buffer.</summary>
internal sealed class ViewBlock(GL gl) : IDisposable
{
    /// <summary>The most that OpenGL may ask for between two blocks.</summary>
    private const int Stride = 256;

    private readonly GpuBuffer _buffer = new(gl, BufferTargetARB.UniformBuffer);
    private byte[] _bytes = [];

    public void Fill(IReadOnlyList<ViewPlan> plans, Moment moment, RenderSettings settings)
    {
        if (_bytes.Length < plans.Count * Stride)
        {
            _bytes = new byte[plans.Count * Stride * 2];
        }

        foreach (var plan in plans)
        {
            var block = Of(plan.View, moment, settings);
            MemoryMarshal.Write(_bytes.AsSpan(plan.Number * Stride), in block);
        }

        _buffer.Fill<byte>(_bytes.AsSpan(0, plans.Count * Stride));
    }

    /// <summary>What is drawn or worked out next is this view's.</summary>
    public unsafe void Enter(ViewPlan plan) =>
        gl.BindBufferRange(BufferTargetARB.UniformBuffer, Slots.ViewUniforms, _buffer.Id, plan.Number * Stride, (nuint)sizeof(ViewUniforms));

    private static ViewUniforms Of(View view, Moment moment, RenderSettings settings)
    {
        var haze = moment.Haze;
        var seconds = (float)moment.Time.TotalSeconds;
        return new ViewUniforms
        {
            ViewProjection = view.ViewProjection,
            Eye = new Vector4(view.Eye, 1),
            RayRight = new Vector4(view.RayRight, 0),
            RayUp = new Vector4(view.RayUp, 0),
            RayForward = new Vector4(view.RayForward, 0),
            Face = view.Face,
            Extinction = haze.ExtinctionPerMetre,
            Scattering = haze.ScatteringPerMetre,
            Anisotropy = haze.Anisotropy,
            Unevenness = haze.Unevenness,
            Drift = new Vector3(haze.DriftX * seconds, haze.DriftY * seconds, haze.DriftZ * seconds),
            PatchesPerMetre = 1 / MathF.Max(haze.PatchMetres, 0.05f),
            Size = new Vector2(view.Width, view.Height),
            PerPixel = new Vector2(1f / view.Width, 1f / view.Height),
            Nothing = View.Nothing,
            PixelAngle = view.PixelAngle,
            WorkLight = settings.WorkLightLux,
            Seed = haze.Seed,
            Filtering = new Vector4(settings.SmoothEdges ? 1 : 0, 0, 0, 0),
        };
    }

    public void Dispose() => _buffer.Dispose();
}
