using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>
/// Edges without stairs: the surfaces alone are drawn again at <see cref="Places"/> in each pixel, and the light of a finished picture is shared out by what
/// is there. Light, shadows and haze are worked out once a pixel as ever.
/// </summary>
internal sealed class EdgePass(GL gl) : IDisposable
{
    /// <summary>Places in a pixel, from its middle: four rows and four columns have one each.</summary>
    public static readonly Vector2[] Places = [new(-0.125f, -0.375f), new(0.375f, -0.125f), new(0.125f, 0.375f), new(-0.375f, 0.125f)];

    private readonly uint _array = gl.GenVertexArray();
    private GpuProgram? _program;
    private GpuTexture? _sum;
    private FrameTarget? _target;
    private Targets? _aside;

    /// <param name="view">Who looks.</param>
    /// <param name="targets">The finished picture and its surfaces; stay as they are.</param>
    /// <param name="enter">Sets what passes of the view share.</param>
    /// <param name="surfaces">Draws the surfaces into targets, emptied before.</param>
    public (GpuTexture Radiance, FrameTarget Target) Draw(View view, Targets targets, Action enter, Action<Targets> surfaces)
    {
        Size(view.Width, view.Height);
        _program ??= new GpuProgram(gl, "screen.vert", "edges.frag");
        for (var i = 0; i < Places.Length; i++)
        {
            enter();
            gl.ViewportIndexed(0, -Places[i].X, -Places[i].Y, view.Width, view.Height);
            surfaces(_aside!);
            enter();
            PassState.AddLight(gl, _target!);
            gl.Disable(EnableCap.CullFace);
            gl.Disable(EnableCap.DepthTest);
            if (i == 0)
            {
                ReadOnlySpan<float> black = [0, 0, 0, 0];
                gl.ClearBuffer(BufferKind.Color, 0, black);
            }

            _program.Use();
            _program.Set("aside", new Vector4(Places[i], 1f / Places.Length, 0));
            targets.Radiance.Bind(Slots.RadianceMap);
            targets.Distance.Bind(Slots.DistanceMap);
            targets.Albedo.Bind(Slots.AlbedoMap);
            targets.Normal.Bind(Slots.NormalMap);
            _aside!.Distance.Bind(Slots.HazeDistance);
            _aside.Albedo.Bind(Slots.HazeMap);
            _aside.Normal.Bind(Slots.MirrorMap);
            gl.BindVertexArray(_array);
            gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
        }

        gl.Disable(EnableCap.ScissorTest);
        return (_sum!, _target!);
    }

    public void Dispose()
    {
        _program?.Dispose();
        Forget();
        gl.DeleteVertexArray(_array);
    }

    private void Size(int width, int height)
    {
        if (_sum is not null && _sum.Width == width && _sum.Height == height)
        {
            return;
        }

        Forget();
        _sum = new GpuTexture(gl, InternalFormat.Rgba32f, width, height);
        _target = new FrameTarget(gl, null, _sum);
        _aside = new Targets(gl, width, height);
    }

    private void Forget()
    {
        _target?.Dispose();
        _sum?.Dispose();
        _aside?.Dispose();
    }
}
