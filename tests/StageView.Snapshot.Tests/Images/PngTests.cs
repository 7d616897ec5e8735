using FsCheck;
using FsCheck.Fluent;
using SkiaSharp;
using StageView.Snapshot.Files;
using StageView.Snapshot.Images;
using StageView.Snapshot.Images.Png;
using StageView.Snapshot.Tests.Planted;

namespace StageView.Snapshot.Tests.Images;

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
    public void What_is_written_reads_back_the_same_and_carries_its_hash() => Prop.ForAll(
        Gen.Choose(1, 70).Two().Zip(Gen.Choose(0, 3)).Zip(Gen.Choose(0, int.MaxValue)).ToArbitrary(),
        made =>
        {
            var (((width, height), kind), seed) = made;
            var image = Random(width, height, (Kind)kind, seed);
            var file = FrameFile.Encode(image, (PngPacking)(seed % 3));
            Assert.Equal(image.Rgba, FrameFile.Decode(file, "made").Rgba);
            Assert.True(FrameFile.TryStampedHash(file, out var hash));
            Assert.Equal(PixelHash.Of(image), hash);
        }).QuickCheckThrowOnFailure();

    // The library's own decoder is the judge: each filter of ISO/IEC 15948 alone and all together, with and without alpha, odd widths.
    [Theory]
    [InlineData(SKPngEncoderFilterFlags.NoFilters)]
    [InlineData(SKPngEncoderFilterFlags.Sub)]
    [InlineData(SKPngEncoderFilterFlags.Up)]
    [InlineData(SKPngEncoderFilterFlags.Avg)]
    [InlineData(SKPngEncoderFilterFlags.Paeth)]
    [InlineData(SKPngEncoderFilterFlags.AllFilters)]
    public void Our_decoder_reads_what_the_library_reads(SKPngEncoderFilterFlags filters)
    {
        foreach (var (width, height) in new[] { (1, 1), (3, 5), (17, 9), (64, 33), (501, 400) })
        {
            foreach (var kind in new[] { Kind.Opaque, Kind.Alpha })
            {
                var image = Random(width, height, kind, width);
                using var bitmap = ToSkia(image);
                using var opaque = new SKPixmap(
                    new SKImageInfo(width, height, SKColorType.Rgba8888, kind == Kind.Opaque ? SKAlphaType.Opaque : SKAlphaType.Unpremul), bitmap.GetPixels());
                using var data = opaque.Encode(new SKPngEncoderOptions(filters, 3));
                var file = data!.ToArray();
                Assert.Equal(kind == Kind.Opaque ? 2 : 6, file[25]);
                var ours = PngReader.TryDecode(file);
                Assert.NotNull(ours);
                Assert.Equal(FrameFile.DecodeAny(file, "library").Rgba, ours.Rgba);
                Assert.Equal(image.Rgba, ours.Rgba);
            }
        }
    }

    [Fact]
    public void What_does_not_hold_together_is_left_to_the_library()
    {
        var file = FrameFile.Encode(PlantedPairs.Stage(0, 0));
        Assert.NotNull(PngReader.TryDecode(file));
        Assert.Null(PngReader.TryDecode(file[..(file.Length / 2)]));
        var data = file.AsSpan().IndexOf("IDAT"u8) + 4;
        for (var i = 0; i < 40; i++)
        {
            // Anything that is wrong in the packed pixels breaks the stream or its checksum.
            var bad = (byte[])file.Clone();
            bad[data + 2 + (i * 50)] ^= 0x5A;
            Assert.Null(PngReader.TryDecode(bad));
        }

        Assert.Null(PngReader.TryDecode([]));
        Assert.Null(PngReader.TryDecode(file[..40]));
    }

    [Fact]
    public void A_stamp_of_another_file_or_none_is_told()
    {
        using var bitmap = ToSkia(PlantedPairs.Stage(0, 0));
        using var data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        Assert.False(FrameFile.TryStampedHash(data.ToArray(), out _));
        Assert.False(FrameFile.TryStampedHash(data.ToArray().AsSpan(0, 20), out _));
        Assert.False(FrameFile.TryStampedHash([], out _));
    }

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

    /// <summary>ISO/IEC 15948, 5.3: a chunk whose check is wrong is damaged, also where its pixels can still be read.</summary>
    [Theory]
    [InlineData(29, "at byte 8")]
    [InlineData(-16, "in the chunk at byte")]
    [InlineData(-2, "in the chunk at byte")]
    public void A_wrong_checksum_is_told(int at, string said)
    {
        var image = Random(40, 30, Kind.Opaque, 3);
        var file = FrameFile.Encode(image);
        file[at < 0 ? file.Length + at : at] ^= 1;
        Assert.Contains(said, Assert.Throws<SnapshotException>(() => FrameFile.Decode(file, "it")).Message, StringComparison.Ordinal);
        Assert.Contains("ends in the middle", Assert.Throws<SnapshotException>(() => FrameFile.Decode(FrameFile.Encode(image)[..^12], "it")).Message,
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_changed_pixel_under_an_old_stamp_is_not_believed()
    {
        var image = PlantedPairs.Stage(0, 0);
        var honest = FrameFile.Encode(image);
        var changed = image.Clone();
        changed.Set(5, 5, 200, 0, 0);
        var forged = FrameFile.Encode(changed, PixelHash.Of(image));
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
        System.Buffers.Binary.BinaryPrimitives.WriteUInt32BigEndian(file.AsSpan(29), Ground.Png.PngChunks.Check("IHDR"u8, file.AsSpan(16, 13)));
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

    private static SKBitmap ToSkia(FrameImage image)
    {
        var bitmap = new SKBitmap(new SKImageInfo(image.Width, image.Height, SKColorType.Rgba8888, SKAlphaType.Unpremul));
        System.Runtime.InteropServices.Marshal.Copy(image.Rgba, 0, bitmap.GetPixels(), image.Rgba.Length);
        return bitmap;
    }
}
