using System.Buffers.Binary;
using StageView.Render.Output;

namespace StageView.Render.Tests.Output;

public sealed class PngTests
{
    [Fact]
    public void Linear_png_read_outside_gives_the_luminances_back()
    {
        var image = TestPictures.Light(67, 37, negative: true);
        var path = Path.Combine(Repo.Out("png"), "linear.png");
        const float white = 1000;
        LinearPng.Write(path, image, white);

        var bytes = Tools.Bytes("ffmpeg", "-v", "error", "-i", path, "-f", "rawvideo", "-pix_fmt", "rgb48be", "-");
        Assert.Equal(image.Rgb.Length * 2, bytes.Length);
        for (var i = 0; i < image.Rgb.Length; i++)
        {
            var expected = Math.Clamp(image.Rgb[i] / white * 65535, 0, 65535);
            Assert.InRange(BinaryPrimitives.ReadUInt16BigEndian(bytes.AsSpan(i * 2)), expected - 0.51, expected + 0.51);
        }
    }

    [Fact]
    public void Linear_png_says_how_to_read_it()
    {
        var path = Path.Combine(Repo.Out("png"), "linear-head.png");
        LinearPng.Write(path, TestPictures.Light(20, 20), 512);
        var said = System.Text.Encoding.UTF8.GetString(Tools.Bytes("identify", "-verbose", path));
        Assert.Contains("CandelaPerSquareMetreAt65535: 512", said, StringComparison.Ordinal);
        Assert.Matches(@"png:gAMA: gamma=1\b", said);
        Assert.Matches("(?i)depth: 16", said);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Shown_picture_read_outside_is_the_same_bytes(bool small)
    {
        var image = TestPictures.Light(131, 41).Develop(new ToneCurve(9));
        var path = Path.Combine(Repo.Out("png"), $"shown-{small}.png");
        PngPicture.Write(path, image, small);
        Assert.Equal(image.Rgba, Tools.Bytes("ffmpeg", "-v", "error", "-i", path, "-f", "rawvideo", "-pix_fmt", "rgba", "-"));
        Assert.False(File.Exists(path + ".part"));
        Assert.Equal(PngPicture.Encode(image, small), PngPicture.Encode(image, small));
    }

    [Fact]
    public void A_scale_of_nothing_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => LinearPng.Encode(new LinearImage(2, 2), 0));
}
