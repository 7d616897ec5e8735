using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Unfolding;

namespace StageView.Show.Frames;

/// <summary>Opens the renderer beside the reading of rig and capture, so that shaders are compiled by the time the first moment is there.</summary>
internal static class FirstFrame
{
    public static Task<Pictures> PicturesSoon() => Task.Run(() =>
    {
        var pictures = new Pictures();
        try
        {
            pictures.Draw(OneOfEach(), new Camera { Name = "warm", Position = new Vector3(0, -3, 1), Target = Vector3.Zero }, new FrameSize(16, 16));
            return pictures;
        }
        catch
        {
            pictures.Dispose();
            throw;
        }
    });

    /// <summary>Waits until the driver has started and closes it again: a process that ends in the middle of that crashes in the driver.</summary>
    public static void Close(Task<Pictures> soon)
    {
        Task.WhenAny(soon).GetAwaiter().GetResult();
        if (soon.IsCompletedSuccessfully)
        {
            soon.Result.Dispose();
        }
    }

    // A triangle, a beam, a pixel: what nearly every frame has.
    private static Moment OneOfEach()
    {
        var b = new MomentBuilder
        {
            Meshes =
                [new SceneMesh
                {
                    Name = "triangle",
                    Positions = [Vector3.Zero, Vector3.UnitX, Vector3.UnitY],
                    Normals = [Vector3.UnitZ, Vector3.UnitZ, Vector3.UnitZ],
                    Indices = [0, 1, 2],
                }],
            Haze = new Haze(0.01f, 1, 0.5f),
        };
        b.Begin();
        b.Add(new MeshInstance { Pose = Pose.Identity, Scale = Vector3.One, Albedo = new Vector3(0.5f), Name = NameIndex.None, Fixture = FixtureIndex.None });
        b.Add(new Beam
        {
            Fixture = FixtureIndex.None,
            Apex = Vector3.UnitZ,
            Axis = -Vector3.UnitZ,
            Up = Vector3.UnitY,
            FluxLumens = 100,
            Colour = Vector3.One,
            Profile = AngularProfile.FromBeamAndField(0.2f, 0.3f),
            ApertureRadius = 0.02f,
            StartDistance = 0.1f,
            Iris = 1,
        });
        var pixel = new PixelSurface { Fixture = FixtureIndex.None, EdgeU = Vector3.UnitX, EdgeV = -Vector3.UnitZ, Columns = 1, Rows = 1, Fill = 1 };
        b.AddSurface(pixel)[0] = Vector3.One;
        return b.Build(TimeSpan.Zero);
    }
}
