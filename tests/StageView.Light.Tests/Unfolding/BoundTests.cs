using System.Numerics;
using StageView.Light.Moments;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Unfolding;

/// <summary>A moment that would have more beams than are made says so.</summary>
public sealed class BoundTests
{
    [Theory]
    [InlineData(4, false)]
    [InlineData(3, true)]
    public void Reflections_past_the_bound_are_told(int most, bool lacks)
    {
        var b = Corner();
        var all = b.Build(TimeSpan.Zero);
        Assert.Equal(4, all.Beams.Length);
        Assert.Null(all.LeftOut);
        b = Corner();
        b.MostBeams = most;
        var m = b.Build(TimeSpan.Zero);
        Assert.Equal(lacks, m.LacksReflections);
        Assert.Equal(lacks, m.LeftOut is not null);
        byte[] buffer = [];
        var length = MomentBytes.Write(m, ref buffer);
        Assert.Equal(lacks, MomentBytes.Read(buffer.AsSpan(0, length), m).LacksReflections);
    }

    [Fact]
    public void The_next_moment_says_nothing_of_the_one_before()
    {
        var b = Corner();
        b.MostBeams = 2;
        Assert.True(b.Build(TimeSpan.Zero).LacksReflections);
        for (var i = 0; i < 4; i++)
        {
            b.Begin();
            b.Add(Rooms.Spot(new Vector3(0, 0, 3), Vector3.Zero));
            Assert.False(b.Build(TimeSpan.Zero).LacksReflections);
        }
    }

    /// <summary>Two beams onto two mirrors: four beams at one bounce each.</summary>
    private static MomentBuilder Corner()
    {
        var b = Rooms.Builder();
        b.Begin();
        b.Add(Rooms.Spot(new Vector3(0, -4, 1), new Vector3(0, 5, 1)));
        b.Add(Rooms.Spot(new Vector3(3, -4, 1), new Vector3(3, 5, 1)));
        b.AddMirror(new Vector3(0, 5, 1), -Vector3.UnitY, Vector3.UnitZ, 2, 2, 1);
        b.AddMirror(new Vector3(3, 5, 1), -Vector3.UnitY, Vector3.UnitZ, 2, 2, 1);
        return b;
    }
}
