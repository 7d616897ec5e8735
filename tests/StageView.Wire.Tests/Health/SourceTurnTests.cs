using StageView.Wire.Datagrams;
using StageView.Wire.Health;
using StageView.Wire.Levels;

namespace StageView.Wire.Tests.Health;

/// <summary>Who began and who ceased to be heard, from look to look.</summary>
public sealed class SourceTurnTests
{
    private static readonly int[] s_some = [1, 2, 3, 4, 9];
    private readonly SourceTurns _turns = new();
    private UniverseMerger _merger = new(WireSettings.Default with { AcceptPreview = false });
    private byte _sequence;

    private void Send(double at, int[] universes, bool ends = false, bool preview = false, ushort port = 5568)
    {
        _sequence++;
        foreach (var universe in universes)
        {
            _merger.Receive(TimeSpan.FromSeconds(at), SourceAddress.IPv4(0x0A00_0002, port),
                Packets.Data(1, universe, _sequence, Packets.Levels(512, 1), terminated: ends, preview: preview, name: "desk"));
        }
    }

    private string[] Look() => [.. _turns.Look(_merger.Health()).Select(t => t.Text)];

    [Fact]
    public void All_universes_of_a_source_are_one_line_and_one_started_anew_is_known_again()
    {
        Send(0, s_some);
        Assert.Equal(["universes 1 to 4, 9: 'desk' at 10.0.0.2 sends"], Look());
        Assert.Empty(Look());
        _merger.Advance(TimeSpan.FromSeconds(3));
        Assert.Equal(["universes 1 to 4, 9: 'desk' at 10.0.0.2 stopped sending"], Look());
        Send(4, [1], port: 40_000);
        Assert.Equal(["universe 1: 'desk' at 10.0.0.2 sends"], Look());
        Send(4.1, [1], ends: true, port: 40_000);
        Assert.Equal(["universe 1: 'desk' at 10.0.0.2 ended its stream"], Look());
        _merger.Advance(TimeSpan.FromSeconds(30));
        Assert.Empty(Look());
    }

    [Fact]
    public void Art_Net_repeated_every_four_seconds_never_stops()
    {
        for (var t = 0; t <= 40; t++)
        {
            if (t % 4 == 0)
            {
                _merger.Receive(TimeSpan.FromSeconds(t), Packets.Console1, Packets.ArtDmx(0, 0, Packets.Levels(512, 5)));
            }

            _merger.Advance(TimeSpan.FromSeconds(t));
            Assert.Equal(t == 0 ? ["universe 1: Art-Net 10.0.0.1 sends"] : [], Look());
        }

        _merger.Advance(TimeSpan.FromSeconds(50));
        Assert.Equal(["universe 1: Art-Net 10.0.0.1 stopped sending"], Look());
    }

    [Fact]
    public void Refused_preview_is_told_as_such()
    {
        Send(0, [1, 2], preview: true);
        Assert.Equal(["universes 1, 2: 'desk' at 10.0.0.2 sends preview data, which the rig file's network settings refuse"], Look());
        _merger.Advance(TimeSpan.FromSeconds(3));
        Assert.Equal(["universes 1, 2: 'desk' at 10.0.0.2 stopped sending"], Look());
    }

    [Fact]
    public void Listening_begun_anew_says_nothing_of_who_comes_again_in_time_and_tells_who_doesnt()
    {
        Send(0, [1, 2]);
        Look();
        _merger = new UniverseMerger(WireSettings.Default);
        Assert.Empty(Look());
        Send(1, [1]);
        Assert.Empty(Look());
        Send(3, [1]);
        Assert.Equal(["universe 2: 'desk' at 10.0.0.2 stopped sending"], Look());
    }
}
