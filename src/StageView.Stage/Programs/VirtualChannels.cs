using StageView.Rig.Profiles;

namespace StageView.Stage.Programs;

/// <summary>
/// Channels without an address (DIN SPEC 15800, DMX Channel, Offset "None"). A console works out what they do and sends the result to the channels that
/// have one. What would dim the light and what nothing that arrives can move therefore counts as open, whatever its default.
/// </summary>
internal static class VirtualChannels
{
    /// <summary>Marks the channels; relations must be there already.</summary>
    public static void Mark(ChannelCode[] channels)
    {
        foreach (var c in channels)
        {
            c.IsMoved = IsMoved(channels, c, []);
        }

        foreach (var c in channels)
        {
            c.StandsOpen = c.IsVirtual && !c.Relations.Any(r => r.Kind == RelationKind.Override && IsIn(channels, r.MasterChannel)
                && channels[r.MasterChannel].IsMoved);
        }

        MarkMix(channels, op => op == AttributeOp.Add, c => c.Source.Default == 0);
        MarkMix(channels, op => op is AttributeOp.Cyan or AttributeOp.Magenta or AttributeOp.Yellow, c => c.Source.Default == c.Source.MaxValue);
    }

    /// <summary>What a colour asks for where the whole mix counts as open: white. Null for what doesn't mix.</summary>
    public static float? OpenMix(AttributeOp op) => op switch
    {
        AttributeOp.Add => 1,
        AttributeOp.Cyan or AttributeOp.Magenta or AttributeOp.Yellow => 0,
        _ => null,
    };

    /// <summary>A mix of which no colour has an address, and whose defaults leave no light, would keep the fixture dark for good.</summary>
    private static void MarkMix(ChannelCode[] channels, Func<AttributeOp, bool> mixes, Func<ChannelCode, bool> isDark)
    {
        var mix = channels.Where(c => c.Functions.Any(f => mixes(f.Op))).ToList();
        if (mix.Count > 0 && mix.All(c => c.StandsOpen && !c.IsMoved && isDark(c)))
        {
            mix.ForEach(c => c.MixStandsOpen = true);
        }
    }

    /// <summary>What a channel asks for where it counts as open: nothing of the light is kept back. Null for what doesn't dim.</summary>
    public static float? OpenValue(AttributeOp op) => op switch
    {
        AttributeOp.Dimmer or AttributeOp.Brightness or AttributeOp.Shutter or AttributeOp.Iris => 1,
        >= AttributeOp.Strobe and <= AttributeOp.StrobeDuration => 0,
        _ => null,
    };

    private static bool IsMoved(ChannelCode[] channels, ChannelCode channel, HashSet<int> seen) =>
        !channel.IsVirtual || (seen.Add(channel.Source.Index) && channel.Relations.Any(r => IsIn(channels, r.MasterChannel)
            && IsMoved(channels, channels[r.MasterChannel], seen)));

    private static bool IsIn(ChannelCode[] channels, int index) => index >= 0 && index < channels.Length;
}
