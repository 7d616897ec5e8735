using StageView.Wire.Capture;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Tests.Capture;

/// <summary>What is kept of datagrams that are not whole yet.</summary>
public sealed class FragmentsTests
{
    private static readonly SourceAddress From = SourceAddress.IPv4(0x0A00_0001, 0);
    private static readonly SourceAddress To = SourceAddress.IPv4(0xEFFF_0001, 0);
    private readonly Fragments _fragments = new();

    // A UDP datagram to the port of sACN of 8 + 32 bytes, in five parts.
    private static readonly byte[] Datagram = [0x15, 0xC0, 0x15, 0xC0, 0, 40, 0, 0, .. Enumerable.Range(1, 32).Select(i => (byte)i)];

    [Fact]
    public void A_part_that_comes_twice_stands_for_no_other()
    {
        Assert.False(Take(1, 0));
        Assert.False(Take(1, 4));
        Assert.False(Take(1, 0));
        Assert.False(Take(1, 1));
        Assert.False(Take(1, 1));
        Assert.False(Take(1, 2));
        Assert.True(Take(1, 3));
        Assert.Equal(0, _fragments.Lost);
    }

    [Fact]
    public void What_is_not_whole_after_half_a_minute_is_given_up_and_counted()
    {
        Parts(1, 0, 1, 2, 3);
        Assert.True(Take(1, 4, 29));
        Parts(2, 0, 1, 2, 3);
        Assert.False(Take(2, 4, 31));
        Assert.Equal(1, _fragments.Lost);
    }

    [Fact]
    public void No_more_than_64_are_kept_and_the_oldest_goes_first()
    {
        for (var id = 0; id < 64; id++)
        {
            Assert.False(Take((uint)id, 0, id * .01));
        }

        Assert.Equal(64, _fragments.Lost);
        Assert.False(Take(100, 0, 1));
        Assert.Equal(65, _fragments.Lost);
        Parts(0, 1, 2, 3);
        Assert.False(Take(0, 4));

        // Of those that stayed all still become whole.
        Parts(63, 1, 2, 3);
        Assert.True(Take(63, 4));
    }

    private void Parts(uint id, params int[] parts)
    {
        foreach (var part in parts)
        {
            Assert.False(Take(id, part));
        }
    }

    private bool Take(uint id, int part, double at = 0)
    {
        var fragment = new Fragment(From, To, id, 8 * part, part < 4, Datagram.AsMemory(8 * part, 8));
        var done = _fragments.TryJoin(fragment, TimeSpan.FromSeconds(at), 7, out var whole, out _);
        Assert.Equal(done ? Datagram[8..] : [], whole.Payload.ToArray());
        return done;
    }
}
