using Microsoft.Extensions.Time.Testing;
using StageView.Live.Server;

namespace StageView.Live.Tests.Server;

/// <summary>How much of the pictures is on its way, on a link that takes so many bytes a second.</summary>
public sealed class SendWindowTests
{
    // By hand: a quarter of a second and the round trip's .05 s at 8,000 bytes a second are 2,400 bytes.
    [Fact]
    public void On_a_thin_link_no_more_is_under_way_than_it_takes_in_a_fraction_of_a_second()
    {
        var (window, clock) = Window(.05);
        Sends(window, clock, 8000, .05, 12);
        Assert.InRange(window.Room, 2048, 2500);

        // One message that comes at once says little; several, that the link is another now.
        Sends(window, clock, 10e6, .002, 10);
        Assert.Equal(1 << 20, window.Room);
    }

    [Fact]
    public void What_is_under_way_leaves_no_room_until_it_is_told_to_have_come()
    {
        var (window, _) = Window(.002);
        Assert.Equal(16384, window.Room);
        window.Sent(10_000);
        Assert.Equal(6384, window.Room);
        window.Sent(5000);
        Assert.Equal(0, window.Room);
        window.Got(-7);
        Assert.Equal(0, window.Room);
        window.Got(long.MaxValue);
        Assert.True(window.Room >= 16384);
    }

    [Fact]
    public void One_late_word_halves_it_and_no_more()
    {
        var (window, clock) = Window(.002);
        window.Sent(10_000);
        clock.Advance(TimeSpan.FromSeconds(9));
        window.Got(10_000);
        Assert.Equal(8192, window.Room);
    }

    /// <summary>Fills the window, so many times, and waits until all came.</summary>
    private static void Sends(SendWindow window, FakeTimeProvider clock, double bytesPerSecond, double roundTrip, int times)
    {
        for (var i = 0; i < times; i++)
        {
            var bytes = window.Room;
            window.Sent(bytes);
            clock.Advance(TimeSpan.FromSeconds((bytes / bytesPerSecond) + roundTrip));
            window.Got(long.MaxValue);
        }
    }

    private static (SendWindow Window, FakeTimeProvider Clock) Window(double roundTrip)
    {
        var clock = new FakeTimeProvider();
        var window = new SendWindow(clock);
        window.RoundTrip(TimeSpan.FromSeconds(roundTrip));
        window.RoundTrip(TimeSpan.FromSeconds(3));
        return (window, clock);
    }
}
