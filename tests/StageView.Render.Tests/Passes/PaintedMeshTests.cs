using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Unfolding;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Passes;

/// <summary>Pictures on meshes: the picture says how the piece's albedo is shared out, and meshes without one stay as they are.</summary>
[Collection("gl")]
public sealed class PaintedMeshTests(Rendering gl)
{
    /// <summary>Two pictures of 2 by 2 pixels: the first red on the left and green on the right, the second blue.</summary>
    private static SceneMesh Painted { get; } = Scenes.Plate with
    {
        Paint = new MeshPaint
        {
            At = [new(0, 1, 0), new(1, 1, 0), new(1, 0, 0), new(0, 0, 0)],
            Size = 2,
            Count = 2,
            Rgb = [255, 0, 0, 0, 255, 0, 255, 0, 0, 0, 255, 0, 0, 0, 255, 0, 0, 255, 0, 0, 255, 0, 0, 255],
            Mean = new Vector3(.5f, .5f, 0),
        },
    };

    private static SceneMesh Blue { get; } = Painted with
    {
        Paint = Painted.Paint! with { At = [new(0, 1, 1), new(1, 1, 1), new(1, 0, 1), new(0, 0, 1)], Mean = new Vector3(0, 0, 1) },
    };

    private static MeshInstance Plate(int mesh, float x, Vector3 albedo) => new()
    {
        Mesh = new MeshIndex(mesh), Pose = Pose.At(x, 0, 0), Scale = new Vector3(1, 1, 1), Albedo = albedo, Fixture = FixtureIndex.None,
    };

    [Fact]
    public void Each_place_has_its_pixels_reflectance()
    {
        var b = new MomentBuilder { Meshes = [Scenes.Plate, Painted, Blue], SceneryNames = ["set"], MirrorNames = ["mirror"] };
        b.Add(Plate(1, -3, new Vector3(.25f, .25f, 0)));
        b.Add(Plate(2, 0, new Vector3(0, 0, .3f)));
        b.Add(Plate(0, 3, new Vector3(.4f)));
        var camera = new Camera
        {
            Name = "above", Position = new Vector3(0, 0, 10), Target = Vector3.Zero, Up = Vector3.UnitY, Ev100 = 6, VerticalFieldRadians = Angles.Radians(60),
        };
        var settings = new RenderSettings { Width = 320, Height = 180, WorkLightLux = 100, Linear = true };
        var frame = gl.Renderer.Render(b.Build(TimeSpan.Zero), camera, settings).Linear!;

        // Under even light of E lux from above a surface of reflectance ρ has the luminance ρE/π (Lambert). Texels are plain in their middle.
        Vector3 At(float x, float y)
        {
            var scale = 90 / (10 * MathF.Tan(Angles.Radians(30)));
            return frame[(int)MathF.Round(160 + (x * scale)), (int)MathF.Round(90 - (y * scale))] * MathF.PI / 100;
        }

        void Near(Vector3 expected, Vector3 got) => Assert.True(Vector3.Distance(expected, got) < .03f, $"{expected} {got}");
        Near(new(.5f, 0, 0), At(-3.5f, 0));
        Near(new(0, .5f, 0), At(-2.5f, 0));
        Near(new(0, 0, .3f), At(.2f, .3f));
        Near(new(.4f), At(3, .2f));
    }
}
