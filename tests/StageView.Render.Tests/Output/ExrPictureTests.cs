using System.Runtime.InteropServices;
using StageView.Render.Output;

namespace StageView.Render.Tests.Output;

public sealed class ExrPictureTests
{
    // 67 x 37: neither a whole number of 16-line blocks nor an even row.
    [Theory]
    [InlineData(ExrPixelType.Bits32, 0)]
    [InlineData(ExrPixelType.Bits16, 1f / 2048)]
    public void An_outside_reader_finds_the_same_values(ExrPixelType type, float relative)
    {
        var image = TestPictures.Light(67, 37, negative: true);
        var path = Path.Combine(Repo.Out("exr"), $"light-{type}.exr");
        ExrPicture.Write(path, image, type);

        // Both ways of storing a block are in it.
        Assert.InRange(new FileInfo(path).Length, 67 * 16 * 3, (long)(67 * 37 * 3 * (type == ExrPixelType.Bits16 ? 2 : 4) * 0.9));

        // ffmpeg gives planes in the order G, B, R.
        var bytes = Tools.Bytes("ffmpeg", "-v", "error", "-i", path, "-f", "rawvideo", "-pix_fmt", "gbrpf32le", "-");
        var planes = MemoryMarshal.Cast<byte, float>(bytes);
        var n = 67 * 37;
        Assert.Equal(3 * n, planes.Length);
        for (var i = 0; i < n; i++)
        {
            float[] read = [planes[(2 * n) + i], planes[i], planes[n + i]];
            for (var c = 0; c < 3; c++)
            {
                var wrote = image.Rgb[(i * 3) + c];
                Assert.True(MathF.Abs(read[c] - wrote) <= relative * MathF.Abs(wrote), $"pixel {i} channel {c}: wrote {wrote}, read {read[c]}");
            }
        }
    }

    [Fact]
    public void A_flat_picture_is_packed_and_noise_is_stored()
    {
        Assert.InRange(ExrPicture.Encode(new LinearImage(640, 360)).Length, 1, 640 * 360 * 12 / 50);
        var noise = new LinearImage(64, 64);
        new Random(3).NextBytes(MemoryMarshal.AsBytes(noise.Rgb.AsSpan()));
        Assert.InRange(ExrPicture.Encode(noise).Length, 64 * 64 * 12, (64 * 64 * 12) + 1000);
    }

    [Fact]
    public void The_header_says_what_the_values_are()
    {
        var bytes = ExrPicture.Encode(new LinearImage(8, 8));
        Assert.Equal([0x76, 0x2f, 0x31, 0x01], bytes[..4]);
        var text = System.Text.Encoding.Latin1.GetString(bytes);
        Assert.Contains("chromaticities\0chromaticities\0", text, StringComparison.Ordinal);
        Assert.Contains("whiteLuminance\0float\0\u0004\0\0\0\0\0\u0080\u003f", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Light_beyond_half_is_cut_to_its_largest_number()
    {
        var image = new LinearImage(20, 1);
        image[0, 0] = new(1e6f, 2, 3);
        var path = Path.Combine(Repo.Out("exr"), "bright.exr");
        ExrPicture.Write(path, image, ExrPixelType.Bits16);
        var planes = MemoryMarshal.Cast<byte, float>(Tools.Bytes("ffmpeg", "-v", "error", "-i", path, "-f", "rawvideo", "-pix_fmt", "gbrpf32le", "-"));
        Assert.Equal(65504f, planes[40]);
    }
}
