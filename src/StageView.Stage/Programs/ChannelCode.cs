using StageView.Rig.Profiles;

namespace StageView.Stage.Programs;

/// <summary>A DMX channel made ready to run.</summary>
internal sealed class ChannelCode
{
    public required DmxChannel Source { get; init; }

    public required FunctionCode[] Functions { get; init; }

    /// <summary>Channels whose value multiplies or overrides this one's, by function.</summary>
    public ChannelRelation[] Relations { get; set; } = [];

    /// <summary>Whether it has no address.</summary>
    public bool IsVirtual => Source.Offsets.Count == 0;

    /// <summary>Whether anything that arrives can move it: an address, or a relation to a channel that is moved.</summary>
    public bool IsMoved { get; set; } = true;

    /// <summary>Whether what it dims counts as open: it has no address, and nothing but masters that multiply it can move it.</summary>
    public bool StandsOpen { get; set; }

    /// <summary>Whether its colour is part of a mix without addresses that would otherwise never let light through.</summary>
    public bool MixStandsOpen { get; set; }

    /// <summary>The function active at a raw value; one that its mode master has chosen goes before one without.</summary>
    /// <param name="raw">The channel's own value.</param>
    /// <param name="all">Raw values of all channels of the fixture.</param>
    public int FunctionAt(uint raw, ReadOnlySpan<uint> all)
    {
        var found = -1;
        for (var i = 0; i < Functions.Length; i++)
        {
            var f = Functions[i];
            if (!f.Contains(raw))
            {
                continue;
            }

            var master = f.Source.ModeMaster;
            if (master < 0)
            {
                found = found < 0 ? i : found;
            }
            else if (all[master] >= f.Source.ModeFrom && all[master] <= f.Source.ModeTo)
            {
                return i;
            }
        }

        return found;
    }
}
