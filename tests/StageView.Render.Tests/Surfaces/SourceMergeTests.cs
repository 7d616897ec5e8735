using System.Numerics;
using StageView.Render.Surfaces;

namespace StageView.Render.Tests.Surfaces;

public sealed class SourceMergeTests
{
    // Far in front of all of them only the sum of luminance times area times cosine counts (Lambert).
    [Fact]
    public void What_is_merged_sends_far_away_what_its_parts_send()
    {
        var random = new Random(5);
        var blocks = new List<SourceBlock>();
        for (var i = 0; i < 3000; i++)
        {
            var front = Vector3.Normalize(new Vector3(0.6f * (random.NextSingle() - 0.5f), -1, 0.6f * (random.NextSingle() - 0.5f)));
            var globe = i % 10 == 0;
            blocks.Add(new SourceBlock(new Vector3(random.NextSingle() * 10, random.NextSingle(), random.NextSingle() * 5), front, 0.01f + random.NextSingle(),
                globe ? 0.1f : 0, new Vector3(random.NextSingle() * 900, 100, 200)));
        }

        var merged = SourceMerge.Into([.. blocks], 96);
        Assert.Equal(96, merged.Count);
        foreach (var way in new[] { new Vector3(0, -1, 0), Vector3.Normalize(new Vector3(1, -1, -1)) })
        {
            var (before, after) = (Sum(blocks, way), Sum(merged, way));
            Assert.True(Vector3.Distance(before, after) < 0.01f * before.Length(), $"{before} and {after}");
        }

        Assert.Equal(merged, SourceMerge.Into([.. blocks], 96));
    }

    [Fact]
    public void What_faces_the_other_way_is_not_merged_away()
    {
        List<SourceBlock> blocks =
        [
            .. Enumerable.Range(0, 200).Select(i => new SourceBlock(
                new Vector3(i * 0.1f, 0, 0), i % 2 == 0 ? Vector3.UnitY : -Vector3.UnitY, 1, 0, new Vector3(100))),
        ];
        var merged = SourceMerge.Into(blocks, 10);
        Assert.Equal(10000, Sum(merged, Vector3.UnitY).X, 1f);
        Assert.Equal(10000, Sum(merged, -Vector3.UnitY).X, 1f);
    }

    private static Vector3 Sum(List<SourceBlock> blocks, Vector3 way)
    {
        var sum = Vector3.Zero;
        foreach (var b in blocks)
        {
            sum += b.Luminance * (b.Radius > 0 ? MathF.PI * b.Radius * b.Radius : b.Area * MathF.Max(0, Vector3.Dot(b.Front, way)));
        }

        return sum;
    }
}
