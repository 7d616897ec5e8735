using StageView.Snapshot.Compare;
using StageView.Snapshot.Images;
using StageView.Snapshot.Tests.Planted;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Tests.Compare;

/// <summary>Statistics over areas: what no pixel shows is caught, and noise of any seed passes.</summary>
public sealed class AreaTests
{
    [Theory]
    [InlineData("a wash of 1 level over a third", @"^right, \d\d % of the frame: 0\.[6-9] levels brighter")]
    [InlineData("2 % more on a dark picture, noise of 1 level in both", @"of the frame: 0\.\d levels brighter \(some [2345] % more light\)$")]
    [InlineData("a soft beam moved by 2 pixels", "^in the middle, [0-9]+ % of the frame: light moved to the right$")]
    [InlineData("a soft beam moved by 2 pixels, noise of 1 level in both", "^in the middle, [0-9]+ % of the frame: light moved to the right$")]
    [InlineData("3 degrees of hue", @"of the frame: tinted, 1\.5 levels less blue, hue turned by [234](\.\d)?°$")]
    public void A_faint_change_is_told_by_where_and_how_much(string name, string said)
    {
        var pair = PlantedPairs.All().Single(p => p.Name == name);
        var areas = FrameComparer.Compare(pair.Before, pair.After, CompareSettings.Default).Areas;
        Assert.NotEmpty(areas);
        Assert.True(System.Text.RegularExpressions.Regex.IsMatch(AreaWords.Of(areas[0]), said), AreaWords.Of(areas[0]));
    }

    [Theory]
    [InlineData(2, 0, @"moved by (1\.[6-9]|2|2\.[1-4]) px to the right$")]
    [InlineData(-3, 0, @"moved by (2\.[5-9]|3|3\.[1-5]) px to the left$")]
    [InlineData(0, 2, @"moved by (1\.[6-9]|2|2\.[1-4]) px down$")]
    public void A_lone_soft_spot_that_moved_is_told_by_how_far(int right, int down, string said)
    {
        FrameImage Spot(int dx, int dy, int seed) => PlantedPairs.Noise(
            FaintPairs.Draw((x, y) => 4 + (16 * Math.Exp(-(Math.Pow(x - 300 - dx, 2) + Math.Pow(y - 170 - dy, 2)) / 3200))), 1, seed);
        var areas = FrameComparer.Compare(Spot(0, 0, 1), Spot(right, down, 2), CompareSettings.Default with { Levels = 4 }).Areas;
        Assert.NotEmpty(areas);
        Assert.True(System.Text.RegularExpressions.Regex.IsMatch(AreaWords.Of(areas[0]), said), AreaWords.Of(areas[0]));
    }

    /// <summary>Each of 120 seeds, of four kinds of noise: an alarm once in a hundred pictures would show.</summary>
    [Fact]
    public void Noise_of_many_seeds_passes()
    {
        var alarms = new System.Collections.Concurrent.ConcurrentBag<string>();
        Parallel.For(0, 120, seed =>
        {
            var random = new Random(seed);
            var (a, b) = (Stage(), Stage());
            switch (seed % 4)
            {
                case 0: Shake(a, 1, random); Shake(b, 1, random); break;
                case 1: Shake(b, 2, random); break;
                case 2: Dither(a, random); Dither(b, random); break;
                default: (a, b) = (new FrameImage(320, 200), new FrameImage(320, 200)); Shake(b, 2, random); break;
            }

            var result = FrameComparer.Compare(a, b, CompareSettings.Default);
            if (result.Verdict == FrameVerdict.Changed)
            {
                alarms.Add($"seed {seed}: {result.ChangedPixels} pixels, {string.Join("; ", result.Areas.Select(AreaWords.Of))}");
            }
        });
        Assert.Empty(alarms);
    }

    [Fact]
    public void Noise_of_2_levels_in_both_passes_the_statistics()
    {
        for (var seed = 0; seed < 40; seed++)
        {
            var random = new Random(seed);
            var (a, b) = (Stage(), Stage());
            Shake(a, 2, random);
            Shake(b, 2, random);
            Assert.Equal(FrameVerdict.WithinTolerance, FrameComparer.Compare(a, b, CompareSettings.Default with { Levels = 4 }).Verdict);
        }
    }

    /// <summary>Rounding is no light: it is the same all over. A part of the frame that is a level brighter is light.</summary>
    [Fact]
    public void A_level_all_over_passes_and_a_level_over_most_of_the_frame_is_caught()
    {
        var (all, most) = (Stage(), Stage());
        for (var i = 0; i < all.Rgba.Length; i++)
        {
            all.Rgba[i] += (byte)((i & 3) == 3 ? 0 : 1);
            most.Rgba[i] += (byte)((i & 3) == 3 || i > most.Rgba.Length * 0.7 ? 0 : 1);
        }

        Assert.Equal(FrameVerdict.WithinTolerance, FrameComparer.Compare(Stage(), all, CompareSettings.Default).Verdict);
        Assert.Equal(FrameVerdict.Changed, FrameComparer.Compare(Stage(), most, CompareSettings.Default).Verdict);
    }

    [Fact]
    public void The_statistics_are_turned_off_by_a_limit_of_255()
    {
        var pair = PlantedPairs.All().Single(p => p.Name == "a soft beam moved by 2 pixels");
        Assert.Equal(FrameVerdict.WithinTolerance,
            FrameComparer.Compare(pair.Before, pair.After, CompareSettings.Default with { BlockLevels = 255 }).Verdict);
    }

    /// <summary>A dark stage of an odd size: blocks at its right and lower ends are cut.</summary>
    private static FrameImage Stage()
    {
        var image = new FrameImage(331, 203);
        for (var y = 0; y < image.Height; y++)
        {
            for (var x = 0; x < image.Width; x++)
            {
                var v = (byte)Math.Round(2 + FaintPairs.Dark(x, y));
                image.Set(x, y, v, (byte)(v / 2), (byte)(v / 3));
            }
        }

        return image;
    }

    private static void Shake(FrameImage image, int levels, Random random)
    {
        for (var i = 0; i < image.Rgba.Length; i++)
        {
            image.Rgba[i] = (i & 3) == 3 ? (byte)255 : (byte)Math.Clamp(image.Rgba[i] + random.Next(-levels, levels + 1), 0, 255);
        }
    }

    private static void Dither(FrameImage image, Random random)
    {
        for (var i = 0; i < image.Rgba.Length; i++)
        {
            image.Rgba[i] = (i & 3) == 3 ? (byte)255 : (byte)Math.Floor((FaintPairs.Dark(i / 4 % image.Width, i / 4 / image.Width) / 3) + random.NextDouble());
        }
    }
}
