using System.Numerics;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Output;

/// <summary>The tone curve on the GPU against its CPU twin, on the same light.</summary>
[Collection("gl")]
public sealed class ToneTwinTests(Rendering gl)
{
    [Theory]
    [InlineData(6, 6504, 6504)]
    [InlineData(2, 3200, 5400)]
    [InlineData(9, 5600, 9300)]
    public void The_shader_develops_as_the_cpu_does(float ev, float kelvin, float projector)
    {
        // Lights in and out of the gamut, from far below the knee to far above it.
        var builder = Scenes.Builder();
        builder.Begin();
        builder.Haze = Scenes.Air;
        builder.Add(Scenes.Floor());
        Vector3[] colours = [new(1, 0.3f, 0), new(-0.25f, 0.1f, 1.1f), new(0.4f, -0.05f, 1), new(1.2f, -0.1f, 0), new(-0.4f, 1, -0.05f), new(1, 1, 1)];
        for (var i = 0; i < colours.Length; i++)
        {
            builder.Add(Scenes.Spot(new Vector3(-5 + (2 * i), 3, 7), new Vector3(-4.5f + (1.8f * i), 2, 0), 20000, 8, 16, colours[i]));
        }

        var camera = Scenes.House(ev) with { WhitePointKelvin = kelvin, ProjectorKelvin = projector };
        var frame = gl.Renderer.Render(builder.Build(TimeSpan.Zero), camera, new RenderSettings { Width = 320, Height = 180, Linear = true });
        PngPicture.Write(Path.Combine(Repo.Out("tone"), $"twin-{ev}.png"), frame.Screen!);
        var cpu = frame.Linear!.Develop(ToneCurve.Of(camera));
        var (worst, apart, lit) = (0, 0, 0);
        for (var i = 0; i < cpu.Rgba.Length; i++)
        {
            var d = Math.Abs(cpu.Rgba[i] - frame.Screen!.Rgba[i]);
            worst = Math.Max(worst, d);
            apart += d > 1 ? 1 : 0;
            lit += (i & 3) != 3 && cpu.Rgba[i] > 20 ? 1 : 0;
        }

        Assert.True(lit > 2000, $"only {lit} values are lit");
        // A graphics processor rounds pow its own way: that may move a value by a level, and the search for the gamut's edge by one more.
        Assert.True(apart < cpu.Rgba.Length / 2000 && worst <= 3, $"{apart} values differ by more than a level, the worst by {worst}");
    }
}
