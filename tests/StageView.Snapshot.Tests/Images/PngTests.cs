using FsCheck;
using FsCheck.Fluent;
using SkiaSharp;

namespace StageView.Snapshot.Tests;

/// <summary>Our PNG files against SkiaSharp (libpng) in both directions.</summary>
public sealed class PngTests
{
    private enum Kind
    {
        Opaque,
        Alpha,
        FewColours,
        Flat,
    }

    [Fact]
    public void What_is_written_reads_back_the_same_here_and_with_libpng() => Prop.ForAll(
        Gen.Choose(1, 70).Two().Zip(Gen.Choose(0, 3)).Zip(Gen.Choose(0, int.MaxValue)).ToArbitrary(),
        made =>
        {
            var (((width, height), kind), seed) = made;
            var image = Random(width, height, (Kind)kind, seed);
            var file = FrameFile.Encode(image);
            Assert.True(PngReader.TryRead(file, out var ours, out _));
            Assert.Equal(image.Rgba, ours!.Rgba);
            Assert.Equal(image.Rgba, WithSkia(file));
            Assert.True(FrameFile.TryStampedHash(file, out var hash));
            Assert.Equal(PixelHash.Of(image), hash);
        }).QuickCheckThrowOnFailure();

    [Fact]
    public void What_libpng_writes_reads_the_same_here() => Prop.ForAll(
        Gen.Choose(1, 70).Two().Zip(Gen.Choose(0, 3)).Zip(Gen.Choose(0, 8)).ToArbitrary(),
        made =>
        {
            var (((width, height), kind), filter) = made;
            var image = Random(width, height, (Kind)kind, (width * 131) + height);
            using var bitmap = ToSkia(image);
            using var pixmap = bitmap.PeekPixels();
            var filters = filter switch
            {
                0 => SKPngEncoderFilterFlags.None,
                1 => SKPngEncoderFilterFlags.Sub,
                2 => SKPngEncoderFilterFlags.Up,
                3 => SKPngEncoderFilterFlags.Avg,
                4 => SKPngEncoderFilterFlags.Paeth,
                _ => SKPngEncoderFilterFlags.AllFilters,
            };
            using var data = pixmap.Encode(new SKPngEncoderOptions(filters, 6))!;
            Assert.True(PngReader.TryRead(data.ToArray(), out var ours, out var why), why);
            Assert.Equal(image.Rgba, ours!.Rgba);
            Assert.False(FrameFile.TryStampedHash(data.ToArray(), out _));
        }).QuickCheckThrowOnFailure();

    [Fact]
    public void Damaged_files_are_refused_in_words_and_never_crash()
    {
        var file = FrameFile.Encode(PlantedPairs.Stage(0, 0));
        var random = new Random(1);
        for (var i = 0; i < 400; i++)
        {
            var bad = (byte[])file.Clone();
            for (var k = 0; k < 1 + random.Next(4); k++)
            {
                bad[random.Next(bad.Length)] = (byte)random.Next(256);
            }

            if (random.Next(3) == 0)
            {
                bad = bad[..random.Next(bad.Length)];
            }

            try
            {
                FrameFile.Decode(bad, "bad.png");
            }
            catch (SnapshotException e)
            {
                Assert.StartsWith("bad.png: ", e.Message, StringComparison.Ordinal);
            }
        }
    }

    [Fact]
    public void A_changed_pixel_under_an_old_stamp_is_not_believed()
    {
        var image = PlantedPairs.Stage(0, 0);
        var honest = FrameFile.Encode(image);
        var changed = image.Clone();
        changed.Set(5, 5, 200, 0, 0);
        var forged = PngWriter.Write(changed, PixelHash.Of(image));
        Assert.True(FrameFile.TryStampedHash(honest, out _));

        // The stamp of the honest file put over the packed data of the other: the second half no longer fits.
        var stampAt = honest.AsSpan().IndexOf("svPX"u8) + 4;
        honest.AsSpan(stampAt, PngStamp.Length).CopyTo(forged.AsSpan(forged.AsSpan().IndexOf("svPX"u8) + 4));
        Assert.False(FrameFile.TryStampedHash(forged, out _));
    }

    [Fact]
    public void A_giant_header_is_refused_before_memory_is_taken()
    {
        var file = FrameFile.Encode(new FrameImage(4, 4));
        file[16] = 0x7F;
        var e = Assert.Throws<SnapshotException>(() => FrameFile.Decode(file, "giant.png"));
        Assert.StartsWith("giant.png: is no picture that can be read", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_jpeg_goes_to_the_library()
    {
        using var bitmap = ToSkia(PlantedPairs.Stage(0, 0));
        using var data = bitmap.Encode(SKEncodedImageFormat.Jpeg, 95);
        Assert.Equal(PlantedPairs.Width, FrameFile.Decode(data.ToArray(), "a.jpg").Width);
    }

    private static FrameImage Random(int width, int height, Kind kind, int seed)
    {
        var random = new Random(seed);
        var image = new FrameImage(width, height);
        for (var i = 0; i < image.Rgba.Length; i++)
        {
            image.Rgba[i] = kind switch
            {
                Kind.Opaque => (i & 3) == 3 ? (byte)255 : (byte)((i / 4 % width) + random.Next(3)),
                Kind.Alpha => (i & 3) == 3 ? (byte)random.Next(1, 256) : (byte)random.Next(256),
                Kind.FewColours => (i & 3) == 3 ? (byte)255 : (byte)(random.Next(2) * 90),
                _ => 255,
            };
        }

        return image;
    }

    private static byte[] WithSkia(byte[] file)
    {
        using var codec = SKCodec.Create(new MemoryStream(file));
        var info = new SKImageInfo(codec.Info.Width, codec.Info.Height, SKColorType.Rgba8888, SKAlphaType.Unpremul);
        using var bitmap = new SKBitmap(info);
        Assert.Equal(SKCodecResult.Success, codec.GetPixels(info, bitmap.GetPixels()));
        return bitmap.GetPixelSpan().ToArray();
    }

    private static SKBitmap ToSkia(FrameImage image)
    {
        var bitmap = new SKBitmap(new SKImageInfo(image.Width, image.Height, SKColorType.Rgba8888, SKAlphaType.Unpremul));
        System.Runtime.InteropServices.Marshal.Copy(image.Rgba, 0, bitmap.GetPixels(), image.Rgba.Length);
        return bitmap;
    }
}
