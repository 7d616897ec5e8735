using FsCheck;
using FsCheck.Fluent;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Images;
using StageView.Snapshot.Tests.Planted;

namespace StageView.Snapshot.Tests.Compare;

public sealed class BlockSumsTests
{
    /// <summary>The vectorised pass against the same sums by plain loops, at sizes that don't fill a block or a vector.</summary>
    [Fact]
    public void The_vectorised_sums_are_those_of_plain_loops() => Prop.ForAll(
        Gen.Choose(1, 80).Two().Zip(Gen.Choose(0, 6)).Zip(Gen.Choose(0, int.MaxValue)).ToArbitrary(),
        made =>
        {
            var (((width, height), tolerance), seed) = made;
            var before = PlantedPairs.Noise(new FrameImage(width, height), 200, seed);
            var after = PlantedPairs.Noise(before.Clone(), 5, seed / 2);
            if (seed % 3 == 0)
            {
                before.Rgba.AsSpan(0, before.Rgba.Length / 2).CopyTo(after.Rgba);
            }

            var sums = BlockSums.Of(before, after, tolerance);
            for (var block = 0; block < sums.Largest.Length; block++)
            {
                int largest = 0, over = 0;
                int[] signed = [0, 0, 0];
                for (var y = block / sums.Columns * 32; y < Math.Min(height, (block / sums.Columns * 32) + 32); y++)
                {
                    for (var x = block % sums.Columns * 32; x < Math.Min(width, (block % sums.Columns * 32) + 32); x++)
                    {
                        var most = 0;
                        for (var c = 0; c < 3; c++)
                        {
                            var d = after.At(x, y)[c] - before.At(x, y)[c];
                            most = Math.Max(most, Math.Abs(d));
                            signed[c] += d;
                        }

                        largest = Math.Max(largest, most);
                        over += most > tolerance ? 1 : 0;
                    }
                }

                Assert.Equal(largest, sums.Largest[block]);
                Assert.Equal(over, sums.Over[block]);
                Assert.Equal(signed, sums.Signed[(3 * block)..((3 * block) + 3)]);
            }
        }).QuickCheckThrowOnFailure();
}
