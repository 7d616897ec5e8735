using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Text.Json;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Unfolding;

public sealed class IndexTests
{
    // What goes to the GPU or over a pipe lies in memory as it did with plain numbers.
    [Fact]
    public void An_index_is_as_large_as_its_number_and_lies_in_memory_as_it()
    {
        Assert.Equal(
            [4, 4, 4, 4, 4, 4, 4],
            new[]
            {
                Unsafe.SizeOf<BeamIndex>(), Unsafe.SizeOf<MirrorIndex>(), Unsafe.SizeOf<FixtureIndex>(), Unsafe.SizeOf<MeshIndex>(),
                Unsafe.SizeOf<InstanceIndex>(), Unsafe.SizeOf<WebIndex>(), Unsafe.SizeOf<NameIndex>(),
            });
        Assert.Equal([7, -1], MemoryMarshal.Cast<MirrorIndex, int>([new MirrorIndex(7), MirrorIndex.None]).ToArray());
        // Fixture first in a beam, mirror and triangle last in a hit.
        Assert.Equal(5, MemoryMarshal.Cast<Beam, int>([new Beam { Fixture = new FixtureIndex(5), Parent = new BeamIndex(9) }])[0]);
        SceneHit[] hit = [new(1, default, default, new InstanceIndex(2), new MirrorIndex(6))];
        Assert.Equal([2, 6, -1], MemoryMarshal.Cast<SceneHit, int>(hit)[7..].ToArray());
    }

    [Fact]
    public void Its_number_alone_stands_in_texts_and_in_json()
    {
        Assert.Equal("{\"Fixture\":3,\"Beam\":-1}", JsonSerializer.Serialize(new { Fixture = new FixtureIndex(3), Beam = BeamIndex.None }));
        Assert.Equal(new MeshIndex(12), JsonSerializer.Deserialize<MeshIndex>("12"));
        Assert.Equal("mirror 4", $"mirror {new MirrorIndex(4)}");
    }

    [Fact]
    public void Indices_sort_by_number_with_none_first()
    {
        FixtureIndex[] sorted = [.. new[] { new FixtureIndex(10), new FixtureIndex(2), FixtureIndex.None }.Order()];
        Assert.Equal([FixtureIndex.None, new FixtureIndex(2), new FixtureIndex(10)], sorted);
        Assert.True(sorted[0].IsNone);
        Assert.False(default(FixtureIndex).IsNone);
    }
}
