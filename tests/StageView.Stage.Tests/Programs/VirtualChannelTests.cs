using StageView.Rig.Profiles;
using StageView.Stage.State;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>
/// Channels without an address (DIN SPEC 15800:2022-02, DMX Channel, Offset "None") and relations to them: a console sends what they make of the others, so
/// nothing that they would dim is dimmed twice.
/// </summary>
public sealed class VirtualChannelTests
{
    private static DmxChannel Virtual(int index, string attribute, uint byDefault = 0, int geometry = 3) =>
        Channel(index, geometry, [], Function(attribute, 0, 255, 0, 1)) with { Default = byDefault };

    private static float Share(DmxChannel[] channels, ChannelRelation[] relations, params (int, int)[] levels) =>
        Report(channels, relations, levels).FluxLumens / 10_000;

    private static EmitterReport Report(DmxChannel[] channels, ChannelRelation[] relations, params (int, int)[] levels) =>
        With(Scene(Hang(Profile(HeadNodes(), channels, relations: relations))), TestRig.Levels(levels)).StateOf(0, TimeSpan.Zero).Emitters[0];

    private static DmxChannel Add(int index, int offset, string colour) =>
        Channel(index, 3, [offset], Function("ColorAdd_" + colour, 0, 255, 0, 1));

    [Theory]
    [InlineData("Dimmer")]
    [InlineData("Shutter1")]
    [InlineData("Iris")]
    [InlineData("HSB_Brightness")]
    [InlineData("StrobeFrequency")]
    [InlineData("Shutter1Strobe")]
    public void What_dims_and_has_no_address_counts_as_open(string attribute)
    {
        foreach (var byDefault in (uint[])[0, 100, 255])
        {
            foreach (var geometry in (int[])[0, 2, 3])
            {
                Assert.Equal(1, Share([Virtual(0, attribute, byDefault, geometry), Add(1, 1, "R"), Add(2, 2, "G"), Add(3, 3, "B")], [],
                    (1, 255), (2, 255), (3, 255)), .001f);
            }
        }
    }

    /// <summary>Colours without any address, whose defaults let nothing through, would keep a fixture dark for good; other defaults are its colour.</summary>
    [Theory]
    [InlineData("ColorAdd_R", "ColorAdd_G", "ColorAdd_B", 0, 1)]
    [InlineData("ColorSub_C", "ColorSub_M", "ColorSub_Y", 255, 1)]
    [InlineData("ColorSub_C", "ColorSub_M", "ColorSub_Y", 0, 1)]
    [InlineData("ColorAdd_R", "ColorAdd_G", "ColorAdd_B", 51, 0.2)]
    public void A_mix_without_addresses_does_not_keep_the_light_back(string a, string b, string c, uint byDefault, float share) =>
        Assert.Equal(share, Share([Virtual(0, a, byDefault), Virtual(1, b, byDefault), Virtual(2, c, byDefault)], []), .001f);

    /// <summary>The standard's own listing: a dimmer without an address is the master of the colours.</summary>
    [Theory]
    [InlineData(RelationKind.Multiply)]
    [InlineData(RelationKind.Override)]
    public void A_master_that_nothing_moves_leaves_its_followers_alone(RelationKind kind)
    {
        DmxChannel[] channels = [Virtual(0, "Dimmer"), Add(1, 1, "R"), Add(2, 2, "G"), Add(3, 3, "B")];
        ChannelRelation[] relations = [new(0, 1, 0, kind), new(0, 2, 0, kind), new(0, 3, 0, kind)];
        Assert.Equal(1, Share(channels, relations, (1, 255), (2, 255), (3, 255)), .001f);
        Assert.Equal(51 / 255f, Share(channels, relations, (1, 51), (2, 51), (3, 51)), .001f);
        Assert.Equal(0, Share(channels, relations), .001f);
    }

    /// <summary>A master with an address multiplies what has none (cells' dimmers), and what that leads in turn.</summary>
    [Fact]
    public void A_master_with_an_address_moves_what_has_none()
    {
        DmxChannel[] channels = [Virtual(0, "Dimmer"), Channel(1, 0, [1], Function("Control1", 0, 255, 0, 1)), Add(2, 2, "W")];
        Assert.Equal(51 / 255f, Share(channels, [new(1, 0, 0, RelationKind.Multiply)], (1, 51), (2, 255)), .001f);
        Assert.Equal(51 / 255f, Share(channels, [new(1, 0, 0, RelationKind.Override)], (1, 51), (2, 255)), .001f);

        // Control -> dimmer without an address -> white: white is led by what the dimmer is led by, and dimmed by it.
        Assert.Equal(51 / 255f * 51 / 255f, Share(channels, [new(1, 0, 0, RelationKind.Multiply), new(0, 2, 0, RelationKind.Multiply)],
            (1, 51), (2, 255)), .001f);
    }

    /// <summary>Masters in a circle are no master.</summary>
    [Fact]
    public void A_circle_of_masters_ends()
    {
        DmxChannel[] channels = [Virtual(0, "Dimmer"), Virtual(1, "Shutter1"), Add(2, 1, "W")];
        Assert.Equal(1, Share(channels, [new(0, 1, 0, RelationKind.Multiply), new(1, 0, 0, RelationKind.Override), new(1, 2, 0, RelationKind.Multiply)],
            (1, 255)), .001f);
    }

    /// <summary>What doesn't dim keeps its default: a zoom without an address is a fixed lens.</summary>
    [Fact]
    public void Other_channels_without_an_address_keep_their_default()
    {
        var zoom = Channel(1, 3, [], Function("Zoom", 0, 255, 10, 40)) with { Default = 255 };
        Assert.Equal(40, Report([Channel(0, 3, [1], Function("Dimmer", 0, 255, 0, 1)), zoom], [], (1, 255)).BeamDegrees, .05f);
    }
}
