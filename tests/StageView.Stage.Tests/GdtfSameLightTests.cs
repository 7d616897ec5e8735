using System.Buffers.Binary;
using System.IO.Compression;
using System.Numerics;
using StageView.Light.Colour;
using StageView.Rig.Assets;
using StageView.Rig.Gdtf;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests;

/// <summary>
/// The fixtures of the demo rig, hung once from our own profiles and once from GDTF files written from them, under the same levels: any levels.
/// </summary>
public sealed class GdtfSameLightTests : IDisposable
{
    private static readonly string[] Profiles = ["spot-head", "front-profile", "cell-batten", "winch-globe"];

    private readonly string _folder = Directory.CreateTempSubdirectory("stageview-same-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private RigScene Load(string ending)
    {
        var hangs = Profiles.Select((p, i) => $"{{ \"name\": \"{p}\", \"profile\": \"{p}{ending}\", \"at\": [{i}, 1, 6], \"patch\": \"{i + 1}.1\" }}");
        var path = Path.Combine(_folder, "a.rig.jsonc");
        File.WriteAllText(path, $"{{ \"profiles\": [\".\"], \"hangs\": [ {string.Join(", ", hangs)} ] }}");
        Assert.True(RigLoader.TryLoad(path, new RigLoadOptions { ProfileFolders = [Assets()], DecodeImage = Decode }, out var rig, out var problems),
            string.Join('\n', problems));
        return rig;
    }

    /// <summary>Reads the pictures that GdtfWriter makes: 8-bit RGB, one IDAT, no filter; sRGB to linear by IEC 61966-2-1.</summary>
    private static bool Decode(ReadOnlyMemory<byte> file, out int size, out byte[] rgb, out string why)
    {
        var bytes = file.ToArray();
        size = BinaryPrimitives.ReadInt32BigEndian(bytes.AsSpan(16));
        var at = bytes.AsSpan().IndexOf("IDAT"u8);
        using var zlib = new ZLibStream(new MemoryStream(bytes, at + 4, BinaryPrimitives.ReadInt32BigEndian(bytes.AsSpan(at - 4))), CompressionMode.Decompress);
        rgb = new byte[size * size * 3];
        for (var y = 0; y < size; y++)
        {
            Assert.Equal(0, zlib.ReadByte());
            zlib.ReadExactly(rgb, y * size * 3, size * 3);
        }

        rgb = [.. rgb.Select(v => (byte)MathF.Round(255 * Chromaticity.SrgbToLinear(v / 255f)))];
        why = "";
        return true;
    }

    private static string Assets() => Repo.File("assets", "fixtures");

    [Fact]
    public void Any_levels_give_the_same_light()
    {
        var own = Load("");
        foreach (var f in own.Fixtures)
        {
            File.WriteAllBytes(Path.Combine(_folder, f.Name + ".gdtf"), GdtfWriter.Write(f.Profile, own, out _));
        }

        var gdtf = Load(".gdtf");
        Assert.All(gdtf.Fixtures, f => Assert.EndsWith(".gdtf", f.Profile.File, StringComparison.Ordinal));
        var random = new Random(8);
        for (var run = 0; run < 40; run++)
        {
            var (a, b) = (new StageModel(own), new StageModel(gdtf));
            foreach (var at in (double[])[0, 1])
            {
                for (var u = 1; u <= Profiles.Length; u++)
                {
                    var levels = new byte[512];
                    random.NextBytes(levels);
                    a.OnLevels(Universe(u), TimeSpan.FromSeconds(at), levels);
                    b.OnLevels(Universe(u), TimeSpan.FromSeconds(at), levels);
                }
            }

            // Half-way through the travel, and after it.
            foreach (var t in (double[])[1.4, 30])
            {
                for (var f = 0; f < Profiles.Length; f++)
                {
                    // A face of pixels that share their addresses with the cells is no part of the format; its cells are.
                    var (mine, theirs) = (a.StateOf(f, TimeSpan.FromSeconds(t)).Emitters.Where(e => e.Pixels == 0).ToList(),
                        b.StateOf(f, TimeSpan.FromSeconds(t)).Emitters);
                    Assert.Equal(mine.Count, theirs.Count);
                    foreach (var (x, y) in mine.Zip(theirs))
                    {
                        var what = $"{Profiles[f]} {x.Name}, run {run}, {t} s";
                        Assert.True(MathF.Abs(x.FluxLumens - y.FluxLumens) <= .01f * x.FluxLumens + .5f, $"{what}: {x.FluxLumens} lm, {y.FluxLumens} lm");
                        Assert.True(x.FluxLumens < 1 || Vector2.Distance(x.Chromaticity, y.Chromaticity) < .004f, $"{what}: {x.Chromaticity} {y.Chromaticity}");
                        Assert.True(Vector3.Distance(x.Direction, y.Direction) < .003f && Vector3.Distance(x.Position, y.Position) < .003f,
                            $"{what}: {x.Direction} {y.Direction}");
                        Assert.Equal((x.Beams, x.Gobo.Length > 0), (y.Beams, y.Gobo.Length > 0));
                        Assert.True(MathF.Abs(x.BeamDegrees - y.BeamDegrees) < .02f, what);
                    }
                }
            }
        }
    }
}
