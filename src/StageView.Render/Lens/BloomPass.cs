using Silk.NET.OpenGL;
using StageView.Render.Passes;
using StageView.Render.Resources;

namespace StageView.Render.Lens;

/// <summary>
/// Spreads what the lens scatters (<see cref="LensScatter"/>): halvings down, then up again, each level with its share. Light outside the picture is not known
/// and counts as none.
/// </summary>
internal sealed class BloomPass(GL gl) : IDisposable
{
    private readonly List<(GpuTexture Down, FrameTarget DownTarget, GpuTexture Up, FrameTarget UpTarget)> _levels = [];
    private readonly uint _array = gl.GenVertexArray();
    private GpuProgram? _down;
    private GpuProgram? _up;

    /// <param name="radiance">The sharp picture, cd/m²; stays as it is.</param>
    /// <param name="share">Of all light, 0 to 1.</param>
    /// <param name="pixelAngle">Of one pixel in the middle of the picture, rad.</param>
    /// <returns>The picture as the lens gives it.</returns>
    public GpuTexture Draw(GpuTexture radiance, float share, float pixelAngle)
    {
        Size(radiance.Width, radiance.Height);
        _down ??= new GpuProgram(gl, "screen.vert", "bloomdown.frag");
        _up ??= new GpuProgram(gl, "screen.vert", "bloomup.frag");
        var shares = LensScatter.Shares(_levels.Count - 1, LensScatter.CoreRadians / pixelAngle);
        gl.BindVertexArray(_array);
        _down.Use();
        for (var k = 1; k < _levels.Count; k++)
        {
            (k == 1 ? radiance : _levels[k - 1].Down).Bind(Slots.RadianceMap);
            Whole(_levels[k].DownTarget, _levels[k].Down);
        }

        _up.Use();
        for (var k = _levels.Count - 2; k >= 0; k--)
        {
            var last = k == _levels.Count - 2;
            (k == 0 ? radiance : _levels[k].Down).Bind(Slots.RadianceMap);
            (last ? _levels[k + 1].Down : _levels[k + 1].Up).Bind(Slots.BloomMap);
            _up.Set("mine", k == 0 ? 1 - share + (share * shares[0]) : share * shares[k]);
            _up.Set("wider", last ? share * shares[k + 1] : 1);
            Whole(_levels[k].UpTarget, _levels[k].Up);
        }

        return _levels[0].Up;
    }

    public void Dispose()
    {
        Clear();
        _down?.Dispose();
        _up?.Dispose();
        gl.DeleteVertexArray(_array);
    }

    private void Whole(FrameTarget target, GpuTexture texture)
    {
        PassState.WholeScreen(gl, target);
        gl.Viewport(0, 0, (uint)texture.Width, (uint)texture.Height);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
    }

    private void Size(int width, int height)
    {
        if (_levels.Count > 0 && _levels[0].Up.Width == width && _levels[0].Up.Height == height)
        {
            return;
        }

        Clear();
        for (var (w, h) = (width, height); ; (w, h) = ((w + 1) / 2, (h + 1) / 2))
        {
            var (down, up) = (new GpuTexture(gl, InternalFormat.Rgba32f, w, h), new GpuTexture(gl, InternalFormat.Rgba32f, w, h));
            _levels.Add((down, new FrameTarget(gl, null, down), up, new FrameTarget(gl, null, up)));
            if (Math.Max(w, h) <= 2)
            {
                return;
            }
        }
    }

    private void Clear()
    {
        foreach (var (down, downTarget, up, upTarget) in _levels)
        {
            downTarget.Dispose();
            down.Dispose();
            upTarget.Dispose();
            up.Dispose();
        }

        _levels.Clear();
    }
}
