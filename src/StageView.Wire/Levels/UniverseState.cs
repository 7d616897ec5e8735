using StageView.Wire.Datagrams;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>One universe: its sources and the levels they merge to.</summary>
internal sealed class UniverseState(UniverseNumber number, TieRule tie)
{
    public UniverseNumber Number { get; } = number;

    public TieRule Tie { get; } = tie;

    public List<SourceState> Sources { get; } = new(1);

    /// <summary>The merged levels; held when every source is gone.</summary>
    public byte[] Merged { get; } = new byte[LevelFold.Size];

    public bool HasLevels { get; set; }

    /// <summary>LTP only: counts packets that changed a level.</summary>
    public uint ChangeClock { get; set; }

    /// <summary>Packets of sources that found no room.</summary>
    public long Refused { get; set; }

    /// <summary>Packets with a start code that is neither levels nor a known extension.</summary>
    public long OtherStartCodes { get; set; }

    public byte LastOtherStartCode { get; set; }

    public int ShortestSlots { get; set; } = LevelFold.Size;

    public int LiveCount
    {
        get
        {
            var n = 0;
            foreach (var source in Sources)
            {
                n += source.Live ? 1 : 0;
            }

            return n;
        }
    }

    public SourceState? Find(Cid cid)
    {
        foreach (var source in Sources)
        {
            if (source.Is(cid))
            {
                return source;
            }
        }

        return null;
    }

    public SourceState? Find(SourceAddress from, byte physical)
    {
        foreach (var source in Sources)
        {
            if (source.Is(from, physical))
            {
                return source;
            }
        }

        return null;
    }

    /// <summary>An entry for a source whose packets are refused: a new one, or that of another such source. Null when there is none.</summary>
    public SourceState? RoomForRefused(int most)
    {
        if (Sources.Count < most)
        {
            return Room(most, SourceProtocol.E131);
        }

        SourceState? oldest = null;
        foreach (var source in Sources)
        {
            if (source.Packets == 0 && (oldest is null || source.LastRefused < oldest.LastRefused))
            {
                oldest = source;
            }
        }

        return oldest;
    }

    /// <summary>An entry for a source that was not known: a new one, or that of the source which has been silent longest. Null when all are alive.</summary>
    public SourceState? Room(int most, SourceProtocol protocol)
    {
        if (Sources.Count < most)
        {
            var added = new SourceState(this, protocol);
            Sources.Add(added);
            return added;
        }

        SourceState? oldest = null;
        foreach (var source in Sources)
        {
            if (!source.Live && (oldest is null || source.LastSeen < oldest.LastSeen))
            {
                oldest = source;
            }
        }

        return oldest;
    }
}
