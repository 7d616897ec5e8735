using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>The Art-Net side: ArtDmx of at most two sources a universe, ArtSync.</summary>
public sealed partial class UniverseMerger
{
    private const int MostArtNetSources = 2;

    private readonly SyncGroup _artSync = new(0);
    private SourceAddress _lastArtDmx;

    private PacketOutcome ReceiveArtNet(TimeSpan at, SourceAddress from, ReadOnlySpan<byte> payload)
    {
        switch (ArtNetParser.OpCode(payload))
        {
            case ArtOpCode.Dmx:
                return ArtNetParser.TryParse(payload, out ArtDmxPacket dmx, out var why) ? Receive(at, from, dmx) : Malformed(at, from, why);
            case ArtOpCode.Sync:
                return ArtNetParser.TryParseSync(payload, out why) ? ReceiveArtSync(at, from) : Malformed(at, from, why);
            default:
                return Ignore(at);
        }
    }

    /// <summary>Takes an ArtDmx packet.</summary>
    public PacketOutcome Receive(TimeSpan at, SourceAddress from, in ArtDmxPacket packet)
    {
        Advance(at);
        if (!_settings.ArtNet.TryMap(packet.PortAddress, out var number))
        {
            return NoRoom(null);
        }

        var universe = FindOrAdd(number);
        if (universe is null)
        {
            return NoRoom(null);
        }

        var source = universe.Find(from, packet.Physical);
        if (source is null || !source.Live)
        {
            // A third source is ignored.
            if (LiveArtNet(universe) >= MostArtNetSources)
            {
                return NoRoom(universe);
            }

            if (source is null)
            {
                source = universe.Room(_settings.MostSourcesPerUniverse, SourceProtocol.ArtNet);
                if (source is null)
                {
                    return NoRoom(universe);
                }

                source.Reset(SourceProtocol.ArtNet, null, from, packet.Physical, _now);
            }

            source.Forget();
            source.Heard(_now);
            source.Live = true;
            source.LiveSince = _now;
            source.Priority = _settings.ArtNetPriority;
            Expect(_now + ArtNetNumbers.LossTimeout);
        }
        else
        {
            // 0 switches the check off.
            if (packet.Sequence != 0 && source.Sequence != 0)
            {
                var step = SequenceCheck.ArtNetStep(source.Sequence, packet.Sequence);
                if (SequenceCheck.Discards(step))
                {
                    return Late(source, step);
                }

                Skipped(source, step);
            }

            source.Heard(_now);
        }

        source.Sequence = packet.Sequence;
        source.Address = from;
        _lastArtDmx = from;
        source.HeardLevels(packet.Levels.Length, _now);
        Counters.Taken++;
        universe.ShortestSlots = Math.Min(universe.ShortestSlots, packet.Levels.Length);
        if (_artSync.Active && LiveArtNet(universe) == 1)
        {
            source.Hold(packet.Levels);
            if (source.PendingFor is null)
            {
                source.PendingFor = _artSync;
                _artSync.Waiting.Add(source);
            }

            return PacketOutcome.Held;
        }

        Unhold(source);
        if (source.Apply(packet.Levels, _now) || !universe.HasLevels)
        {
            Merge(universe);
        }

        return PacketOutcome.Taken;
    }

    /// <summary>
    /// Takes an ArtSync packet: levels held since the one before apply together. Ignored when it comes from another address than the last ArtDmx.
    /// </summary>
    public PacketOutcome ReceiveArtSync(TimeSpan at, SourceAddress from)
    {
        Advance(at);
        if (!from.SameHost(_lastArtDmx))
        {
            Counters.Ignored++;
            return PacketOutcome.Ignored;
        }

        if (!_artSync.Active)
        {
            _artSync.Active = true;
            Expect(_now + ArtNetNumbers.SyncTimeout);
        }

        _artSync.Last = _now;
        _artSync.Packets++;
        Counters.Taken++;
        Release(_artSync);
        return PacketOutcome.Taken;
    }

    /// <summary>Live sources of a universe that speak a protocol.</summary>
    internal int LiveSources(UniverseNumber universe, SourceProtocol protocol) =>
        Find(universe)?.Sources.Count(s => s.Live && s.Protocol == protocol) ?? 0;

    private static int LiveArtNet(UniverseState universe)
    {
        var n = 0;
        foreach (var source in universe.Sources)
        {
            n += source.Live && source.Protocol == SourceProtocol.ArtNet ? 1 : 0;
        }

        return n;
    }
}
