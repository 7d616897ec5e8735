using StageView.Wire.Datagrams;

namespace StageView.Wire.Levels;

/// <summary>One synchronisation address: who waits for it, and whether it is alive (E1.31 §11.1).</summary>
internal sealed class SyncGroup(ushort address)
{
    private const int MostSenders = 16;
    private readonly List<(Cid Cid, byte Sequence)> _sequences = [];

    public ushort Address { get; } = address;

    /// <summary>Synchronisation begins with the first packet and ends 2.5 s after the last.</summary>
    public bool Active { get; set; }

    /// <summary>It was alive once: data with force-synchronisation 0 then stays frozen.</summary>
    public bool Lost { get; set; }

    public TimeSpan Last { get; set; }

    public long Packets { get; set; }

    /// <summary>Sources that hold levels for it now.</summary>
    public List<SourceState> Waiting { get; } = [];

    /// <summary>The sequence rule, kept for each sender of this address.</summary>
    public int Step(Cid cid, byte sequence)
    {
        for (var i = 0; i < _sequences.Count; i++)
        {
            if (_sequences[i].Cid == cid)
            {
                var step = SequenceCheck.Step(_sequences[i].Sequence, sequence);
                if (!SequenceCheck.Discards(step))
                {
                    _sequences[i] = (cid, sequence);
                }

                return step;
            }
        }

        if (_sequences.Count == MostSenders)
        {
            _sequences.RemoveAt(0);
        }

        _sequences.Add((cid, sequence));
        return 1;
    }

    public void ForgetSequences() => _sequences.Clear();
}
