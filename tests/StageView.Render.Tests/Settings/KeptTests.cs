using System.Numerics;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Settings;

/// <summary>
/// Shadow tiles are kept from picture to picture. Whatever moves between two, the second is to the byte what a renderer draws that drew neither the first nor
/// anything else of this room.
/// </summary>
[Collection("gl")]
public sealed class KeptTests(Rendering gl)
{
    private static readonly RenderSettings s_small = new() { Width = 160, Height = 90, WorkLightLux = 10, Tiled = false };

    private static readonly Camera s_house = Scenes.House();

    // One list: another one is another rig.
    private static readonly SceneMesh[] s_meshes = [Scenes.Plate, Scenes.Cube];

    /// <summary>What can move.</summary>
    private sealed record Room
    {
        public float Pan { get; init; }

        public float Winch { get; init; }

        public float Dimmer { get; init; } = 1;

        public float Scenery { get; init; }

        public float Gobo { get; init; }

        public float Mirror { get; init; }

        public Camera Seen { get; init; } = s_house;

        public Moment Moment()
        {
            var b = Scenes.Builder();
            (b.Meshes, b.GoboImages) = (s_meshes, s_stripes);
            b.Begin();
            b.Haze = Scenes.Air;
            b.Add(Scenes.Floor());
            b.Add(Scenes.Box(new Vector3(-1 + Scenery, 3, 0.9f), new Vector3(0.6f, 0.6f, 1.8f)));
            b.Add(Scenes.Box(new Vector3(1.5f, 3, 3 + Winch), new Vector3(1.2f, 0.8f, 0.4f)));
            b.AddMirror(new Vector3(3, 7, 2.5f), Vector3.Normalize(new Vector3(-0.4f - Mirror, -1, 0.1f)), Vector3.UnitZ, 2, 3);
            b.Add(Scenes.Spot(new Vector3(-2, -1, 6), new Vector3(-1 + Pan, 3, 0.5f), 9000 * Dimmer, 14, 22));
            b.Add(Scenes.Spot(new Vector3(1, -1, 7), new Vector3(1.6f, 3.4f, 0), 9000, 14, 22) with
            {
                Gobo = new GoboState { Image = 1, RotationRadians = Gobo, Radius = 1 },
            });
            b.Add(Scenes.Spot(new Vector3(0, 5, 3), new Vector3(0, 5, 0), 900) with { Profile = AngularProfile.Omnidirectional, StartDistance = 0.1f });
            b.Add(Scenes.Spot(new Vector3(-3, 0, 5), new Vector3(3, 7, 2.5f), 9000, 8, 12));
            return b.Build(TimeSpan.Zero);
        }

        private static readonly GoboImage[] s_stripes = [Stripes()];

        private static GoboImage Stripes()
        {
            var rgb = new byte[64 * 64 * 3];
            for (var i = 0; i < 64 * 64; i++)
            {
                rgb.AsSpan(3 * i, 3).Fill((byte)(i / 8 % 2 * 255));
            }

            return new GoboImage { Name = "stripes", Size = 64, Rgb = rgb, Transmission = 0.5f };
        }
    }

    private static readonly (string What, Room Then)[] s_moves =
    [
        ("the camera", new Room { Seen = s_house with { Position = new Vector3(3, -10, 2) } }),
        ("a fixture's pan", new Room { Pan = 0.5f }),
        ("a winch", new Room { Winch = 0.6f }),
        ("a dimmer", new Room { Dimmer = 0.4f }),
        ("edited scenery", new Room { Scenery = 0.4f }),
        ("a gobo", new Room { Gobo = 0.3f }),
        ("a mirror", new Room { Mirror = 0.1f }),
    ];

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_picture_after_another_is_a_fresh_one(bool moving)
    {
        var settings = moving ? s_small with { Quality = RenderQuality.Draft, Coarse = true } : s_small;
        byte[] Draw(Room room) => gl.Renderer.Render(room.Moment(), room.Seen, settings).Screen!.Rgba.ToArray();

        // Another rig, brightly lit: every tile of the room before is forgotten.
        var other = Scenes.Large(6, 0);
        void Forget() => gl.Renderer.Render(other, s_house, settings);

        foreach (var (what, then) in s_moves)
        {
            Forget();
            var fresh = Draw(then);
            Forget();
            var first = Draw(new Room());
            var tiles = gl.Renderer.ShadowTilesDrawn;
            var after = Draw(then);
            Assert.True(first.AsSpan().SequenceCompareTo(after) != 0, $"{what} changes nothing to be seen");
            Assert.True(fresh.AsSpan().SequenceEqual(after), $"after {what} moved");
            Assert.True(gl.Renderer.ShadowTilesDrawn < tiles, $"{what}: {gl.Renderer.ShadowTilesDrawn} of {tiles} tiles drawn anew, so none was kept");
        }
    }
}
