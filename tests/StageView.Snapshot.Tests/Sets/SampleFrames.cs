using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Tests.Sets;

/// <summary>Frames with sidecars, written the way a renderer writes them.</summary>
internal static class SampleFrames
{
    public static FrameSidecar Sidecar(string name, double seconds = 0) => new()
    {
        Frame = name,
        Image = "",
        Pixels = "",
        Width = 0,
        Height = 0,
        Camera = "house",
        Seconds = seconds,
        Renderer = "software rasteriser 1",
        Driver = "driver 1",
        Rig = new FileStamp("a.rig.jsonc", new string('a', 64)),
        Capture = new FileStamp("a.pcapng", new string('b', 64)),
        Fixtures = [Head("head 1", pan: 10, left: 0.1), Head("head 2", pan: -30, left: 0.6)],
    };

    public static FixtureRecord Head(string name, double pan, double left) => new()
    {
        Name = name,
        Lit = true,
        Attributes = [new AttributeRecord("Pan", pan, "deg"), new AttributeRecord("Dimmer", 80, "%")],
        Covers = [new ScreenCover([left, 0, left + 0.2, 0, left + 0.3, 1, left, 1])],
    };

    public static FrameImage Picture(int seed, int width = 160, int height = 90)
    {
        var image = new FrameImage(width, height);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var v = (byte)(10 + ((x * 3 + y + seed) % 60));
                image.Set(x, y, v, (byte)(v / 2), (byte)(seed % 200));
            }
        }

        return image;
    }

    public static void Save(string folder, FrameSidecar sidecar, FrameImage image) => new BaselineStore(folder).Save(sidecar, image);
}
