using System.Numerics;
using StageView.Light.Moments;
using StageView.Rig.Profiles;
using StageView.Stage.State;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>
/// Wheels (DIN SPEC 15800:2022-02, Wheel, Channel Set with WheelSlotIndex): sets without a slot show none, and a wheel on a fixture that mixes its colours is a
/// choice of mixes.
/// </summary>
public sealed class WheelTests
{
    private static readonly GoboImage[] Images = [new() { Name = "dots", Size = 1, Rgb = [255, 255, 255], Transmission = .4f }];

    private static readonly Wheel Closed = new("W", [new("Red", new(.8f, 0, 0)), new("Dots", Vector3.One, 1), new("Five", Vector3.One, 0, 5, .1f)]);

    private static readonly Wheel WithOpen = new("W", [new("Red", new(.8f, 0, 0)), new("Dots", Vector3.One, 1), new("Five", Vector3.One, 0, 5, .1f),
        new("Open", Vector3.One)]);

    private static readonly Wheel Presets = new("P", [new("Open", Vector3.One), new("Red", new(1, 0, 0)), new("White", Vector3.One), new("Half", new(.5f))]);

    private static ChannelFunction Sets(string attribute, params int[] slots) => Function(attribute, 0, 255, 0, 1) with
    {
        Wheel = 0,
        Sets = [.. slots.Select((s, i) => new ChannelSet($"set {i}", (uint)(i * 10), i == slots.Length - 1 ? 255 : (uint)((i * 10) + 9), 0, 1, s))],
    };

    private static EmitterReport Report(Wheel wheel, DmxChannel[] channels, ChannelRelation[]? relations, params (int, int)[] levels) =>
        With(Scene([Hang(Profile(HeadNodes(), channels, wheels: [wheel], relations: relations))], [], [], Images), TestRig.Levels(levels))
            .StateOf(0, TimeSpan.Zero).Emitters[0];

    [Theory]
    [InlineData("Color1")]
    [InlineData("Gobo1")]
    [InlineData("Gobo1SelectSpin")]
    [InlineData("Gobo1SelectShake")]
    [InlineData("Prism1")]
    [InlineData("AnimationWheel1")]
    public void A_set_without_a_slot_shows_none(string attribute)
    {
        foreach (var wheel in (Wheel[])[Closed, WithOpen])
        {
            var channel = Channel(0, 3, [1], Sets(attribute, 0, 1, 2, 3));
            var none = Report(wheel, [channel], null, (1, 0));
            Assert.Equal((10_000, 1, ""), (MathF.Round(none.FluxLumens), none.Beams, none.Gobo));

            // The others show theirs.
            var all = Enumerable.Range(1, 3).Select(i => Report(wheel, [channel], null, (1, i * 10))).ToList();
            Assert.True(all.Exists(r => r.FluxLumens < 9000 || r.Beams > 1 || r.Gobo.Length > 0), attribute);

            // Values before the first set, too.
            var late = channel with { Functions = [channel.Functions[0] with { Sets = [.. channel.Functions[0].Sets.Skip(1)] }] };
            Assert.Equal(10_000, Report(wheel, [late], null, (1, 3)).FluxLumens, 1f);
        }
    }

    private static DmxChannel[] Mixing(int[] wheelAddress, uint byDefault = 0) =>
    [
        Channel(0, 3, wheelAddress, Sets("Color1", 1, 2, 3, 4, 0)) with { Default = byDefault },
        .. new[] { "R", "G", "B" }.Select((c, i) => Channel(1 + i, 3, [1 + i], Function("ColorAdd_" + c, 0, 255, 0, 1))),
    ];

    private static ChannelRelation[] Overriding => [.. Enumerable.Range(1, 3).Select(i => new ChannelRelation(0, i, 0, RelationKind.Override))];

    /// <summary>Without an address the wheel is the console's affair: the colours that arrive are mixed, whatever slot its default names.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(10)]
    [InlineData(30)]
    public void A_wheel_without_an_address_leaves_the_mix_alone(uint byDefault)
    {
        foreach (var relations in (ChannelRelation[]?[])[null, Overriding])
        {
            var white = Report(Presets, Mixing([], byDefault), relations, (1, 255), (2, 255), (3, 255));
            Assert.Equal(10_000, white.FluxLumens, 1f);
            Assert.True(Vector2.Distance(new(.3127f, .3290f), white.Chromaticity) < .002f);
            Assert.Equal(0, Report(Presets, Mixing([], byDefault), relations).FluxLumens);
        }
    }

    /// <summary>With an address: its first slot, open, and a set without a slot leave the mix; another takes over, even where the mix is dark.</summary>
    [Fact]
    public void A_wheel_with_an_address_takes_over_from_the_mix()
    {
        foreach (var relations in (ChannelRelation[]?[])[null, Overriding])
        {
            float Lumens(int slot, int mix) => Report(Presets, Mixing([4]), relations, (1, mix), (2, mix), (3, mix), (4, slot * 10)).FluxLumens;
            foreach (var open in (int[])[0, 4])
            {
                Assert.Equal(10_000, Lumens(open, 255), 1f);
                Assert.Equal(2000, Lumens(open, 51), 1f);
                Assert.Equal(0, Lumens(open, 0));
            }

            // Rec.709's red has .2126 of white's luminance (ITU-R BT.709).
            Assert.All((int[])[0, 255], mix => Assert.Equal(2126, Lumens(1, mix), 2f));
            Assert.All((int[])[0, 255], mix => Assert.Equal(10_000, Lumens(2, mix), 1f));
            Assert.All((int[])[0, 255], mix => Assert.Equal(5000, Lumens(3, mix), 1f));
        }
    }

    /// <summary>A wheel on a source that doesn't mix stays a filter in front of it, also where its default is fixed.</summary>
    [Fact]
    public void A_wheel_before_a_lamp_is_a_filter()
    {
        Assert.Equal(2126, Report(Presets, [Channel(0, 3, [1], Sets("Color1", 1, 2))], null, (1, 10)).FluxLumens, 120f);
        Assert.Equal(2126, Report(Presets, [Channel(0, 3, [], Sets("Color1", 1, 2)) with { Default = 10 }], null).FluxLumens, 120f);
    }
}
