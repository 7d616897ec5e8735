using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>The E1.31 side: data, synchronisation, discovery.</summary>
public sealed partial class UniverseMerger
{
    // Wait for per-address priority from a new source, and fall back without it (common practice, no source, and so the time).
    private static readonly TimeSpan PriorityWait = TimeSpan.FromSeconds(1.5);

    private const int MostSyncAddresses = 256;

    /// <summary>Counts up when <see cref="SyncAddresses"/> or <see cref="Offered"/> may have changed.</summary>
    internal int SyncUse { get; private set; }

    private PacketOutcome ReceiveE131(TimeSpan at, SourceAddress from, ReadOnlySpan<byte> payload)
    {
        switch (E131Parser.Kind(payload))
        {
            case E131PacketKind.Data:
                return E131Parser.TryParse(payload, out E131DataPacket data, out var why) ? Receive(at, from, data) : Malformed(at, from, why);
            case E131PacketKind.Sync:
                return E131Parser.TryParseSync(payload, out var sync, out why) ? Receive(at, from, sync) : Malformed(at, from, why);
            case E131PacketKind.Discovery:
                return E131Parser.TryParseDiscovery(payload, out var discovery, out why) ? Receive(at, from, discovery) : Malformed(at, from, why);
            default:
                why = E131Parser.WhyNone(payload);
                return why.Kind == RefusalKind.NotThisProtocol ? Ignore(at) : Malformed(at, from, why);
        }
    }

    /// <summary>Takes a data packet.</summary>
    public PacketOutcome Receive(TimeSpan at, SourceAddress from, in E131DataPacket packet)
    {
        Advance(at);
        if (packet.Preview && !_settings.AcceptPreview)
        {
            Refuse(from, packet);
            return PacketOutcome.PreviewRefused;
        }

        var universe = FindOrAdd(packet.Universe);
        if (universe is null)
        {
            return NoRoom(null);
        }

        var source = universe.Find(packet.Cid);
        if (source is null)
        {
            if (packet.Terminated)
            {
                return PacketOutcome.Ignored;
            }

            var sender = FindOrAddSender(packet.Cid);
            source = sender is null ? null : universe.Room(_settings.MostSourcesPerUniverse, SourceProtocol.E131);
            if (source is null)
            {
                return NoRoom(universe);
            }

            source.Reset(SourceProtocol.E131, sender, from, 0, _now);
        }

        if (!source.Live)
        {
            if (packet.Terminated)
            {
                return PacketOutcome.Ignored;
            }

            if (FindOrAddSender(packet.Cid) is not { } known)
            {
                return NoRoom(universe);
            }

            source.SentBy(known);
            source.Forget();
            source.Heard(_now);
            source.Live = true;
            source.LiveSince = _now;
            source.Terminated = false;
            source.WaitsForPriorities = _settings.PerAddressPriority;
            source.WaitStart = _now;
            SyncUse++;
            Expect(_now + (source.WaitsForPriorities ? PriorityWait : E131Numbers.LossTimeout));
        }
        else
        {
            source.Note(from, packet.Sequence, packet.Levels, _now);
            var step = SequenceCheck.Step(source.Sequence, packet.Sequence);
            if (SequenceCheck.Discards(step))
            {
                return Late(source, step);
            }

            // From another address it may be another's number: nothing is known to be missing.
            if (from == source.Address)
            {
                Skipped(source, source.Continues(packet.Sequence, step) ? 1 : step);
            }
            else
            {
                Skipped(source, 0);
            }

            source.Heard(_now);
        }

        source.Sequence = packet.Sequence;
        source.Address = from;
        source.Sender!.Address = from;
        source.Sender.LastSeen = _now;
        source.Sender.SetName(packet.SourceName);
        source.Preview = packet.Preview;
        Counters.Taken++;
        if (packet.Terminated)
        {
            source.Terminated = true;
            End(source);
            Merge(universe);
            return PacketOutcome.Taken;
        }

        switch (packet.StartCode)
        {
            case E131Numbers.NullStartCode:
                // The priority of a packet without levels says nothing of those that count.
                var priorityChanged = source.Priority != packet.Priority;
                source.PriorityChanges += priorityChanged && source.HasLevels ? 1 : 0;
                source.Priority = packet.Priority;
                source.HeardLevels(packet.Levels.Length, _now);
                return Levels(source, packet, priorityChanged);
            case E131Numbers.PerAddressPriorityStartCode when _settings.PerAddressPriority:
                Priorities(source, packet.Levels);
                return PacketOutcome.Taken;
            case E131Numbers.PerAddressPriorityStartCode:
                source.PrioritiesIgnored++;
                return PacketOutcome.Ignored;
            default:
                universe.OtherStartCodes++;
                universe.LastOtherStartCode = packet.StartCode;
                return PacketOutcome.Ignored;
        }
    }

    /// <summary>Takes a synchronisation packet: levels that wait for its address apply together.</summary>
    public PacketOutcome Receive(TimeSpan at, SourceAddress from, in E131SyncPacket packet)
    {
        Advance(at);
        if (!_syncs.TryGetValue(packet.SyncAddress, out var group))
        {
            if (_syncs.Count >= MostSyncAddresses && !ForgetSync())
            {
                return NoRoom(null);
            }

            group = new SyncGroup(packet.SyncAddress);
            _syncs.Add(packet.SyncAddress, group);
        }

        var step = group.Step(packet.Cid, packet.Sequence);
        if (SequenceCheck.Discards(step))
        {
            return Late(null, step);
        }

        if (!group.Active)
        {
            group.Active = true;
            Expect(_now + E131Numbers.LossTimeout);
        }

        group.Last = _now;
        group.Packets++;
        Counters.Taken++;
        Release(group);
        return PacketOutcome.Taken;
    }

    /// <summary>Takes one page of universe discovery.</summary>
    public PacketOutcome Receive(TimeSpan at, SourceAddress from, in E131DiscoveryPacket packet)
    {
        Advance(at);
        var sender = FindOrAddSender(packet.Cid);
        if (sender is null)
        {
            return NoRoom(null);
        }

        sender.Address = from;
        sender.LastSeen = _now;
        sender.SetName(packet.SourceName);
        Counters.Taken++;
        if (packet.Page == 0)
        {
            sender.Arriving.Clear();
            sender.NextPage = 0;
        }

        if (packet.Page != sender.NextPage)
        {
            return PacketOutcome.Ignored;
        }

        sender.NextPage++;
        for (var i = 0; i < packet.Count && sender.Arriving.Count < Sender.MostDiscovered; i++)
        {
            if (UniverseNumber.IsValid(packet[i]))
            {
                sender.Arriving.Add(packet[i]);
            }
        }

        if (packet.Page == packet.LastPage)
        {
            sender.DiscoveredAt = _now;
            if (sender.Discovered is null || !sender.Arriving.SequenceEqual(sender.Discovered))
            {
                sender.Discovered = [.. sender.Arriving];
                SyncUse++;
            }
        }

        return PacketOutcome.Taken;
    }

    /// <summary>
    /// Synchronisation addresses that live sources name: their packets come by the groups of these addresses (§9.3), whatever is patched. At most 256.
    /// </summary>
    internal HashSet<int> SyncAddresses()
    {
        var found = new HashSet<int>();
        foreach (var universe in _universes)
        {
            foreach (var source in universe.Sources)
            {
                if (source.Live && source.Protocol == SourceProtocol.E131 && UniverseNumber.IsValid(source.SyncAddress) && found.Count < MostSyncAddresses)
                {
                    found.Add(source.SyncAddress);
                }
            }
        }

        return found;
    }

    // Refused preview is kept in sight, so that a reader learns of it. It takes no room from what is used, and no entry among the senders.
    private void Refuse(SourceAddress from, in E131DataPacket packet)
    {
        Counters.PreviewRefused++;
        if (packet.Terminated || FindOrAdd(packet.Universe) is not { } universe)
        {
            return;
        }

        var source = universe.Find(packet.Cid);
        if (source is null)
        {
            source = universe.RoomForRefused(_settings.MostSourcesPerUniverse);
            if (source is null)
            {
                return;
            }

            source.Reset(SourceProtocol.E131, new Sender(packet.Cid), from, 0, _now);
        }

        source.PreviewRefused++;
        source.LastRefused = _now;
        if (!source.Live)
        {
            source.Address = from;
            source.Sender!.SetName(packet.SourceName);
            source.Priority = packet.Priority;
            source.Preview = true;
        }
    }

    private PacketOutcome Levels(SourceState source, in E131DataPacket packet, bool priorityChanged)
    {
        var universe = source.Universe;
        universe.ShortestSlots = Math.Min(universe.ShortestSlots, packet.Levels.Length);
        if (source.SyncAddress != packet.SyncAddress)
        {
            source.SyncAddress = packet.SyncAddress;
            SyncUse++;
            Unhold(source);
        }

        // Held only after the first synchronisation packet; once that is lost, force-synchronisation 1 runs free and 0 freezes (§11.1, §6.2.6).
        if (packet.SyncAddress != 0
            && _syncs.TryGetValue(packet.SyncAddress, out var group)
            && (group.Active || (group.Lost && !packet.ForceSync)))
        {
            source.Hold(packet.Levels);
            if (source.PendingFor is null)
            {
                source.PendingFor = group;
                group.Waiting.Add(source);
            }

            if (priorityChanged)
            {
                Merge(universe);
            }

            return PacketOutcome.Held;
        }

        Unhold(source);
        if (source.Apply(packet.Levels, _now) || priorityChanged || !universe.HasLevels)
        {
            Merge(universe);
        }

        return PacketOutcome.Taken;
    }

    private void Priorities(SourceState source, ReadOnlySpan<byte> priorities)
    {
        source.Priorities ??= new byte[LevelFold.Size];
        source.LastPriorities = _now;
        Span<byte> clean = stackalloc byte[LevelFold.Size];
        clean.Clear();
        for (var i = 0; i < priorities.Length; i++)
        {
            // Values over 200 are reserved: not sourced.
            clean[i] = priorities[i] > E131Numbers.HighestPriority ? (byte)0 : priorities[i];
        }

        if (source.HasPriorities && clean.SequenceEqual(source.Priorities))
        {
            return;
        }

        clean.CopyTo(source.Priorities);
        if (!source.HasPriorities)
        {
            source.HasPriorities = true;
            Expect(_now + E131Numbers.LossTimeout);
        }

        source.WaitsForPriorities = false;
        Merge(source.Universe);
    }

    // All levels are taken before the first is told, so that universes of one sync change together.
    private void Release(SyncGroup group)
    {
        foreach (var source in group.Waiting)
        {
            source.PendingFor = null;
            source.Apply(source.Pending.AsSpan(0, source.PendingSlots), _now);
        }

        foreach (var source in group.Waiting)
        {
            Merge(source.Universe);
        }

        group.Waiting.Clear();
    }

    private static void Unhold(SourceState source)
    {
        source.PendingFor?.Waiting.Remove(source);
        source.PendingFor = null;
    }

    // Synchronisation that is over and that no source waits for.
    private bool ForgetSync()
    {
        SyncGroup? oldest = null;
        foreach (var group in _syncs.Values)
        {
            if (!group.Active && group.Waiting.Count == 0 && (oldest is null || group.Last < oldest.Last))
            {
                oldest = group;
            }
        }

        return oldest is not null && _syncs.Remove(oldest.Address);
    }

    private PacketOutcome Late(SourceState? source, int step)
    {
        if (step == 0)
        {
            Counters.Duplicates++;
            if (source is not null)
            {
                source.Duplicates++;
            }

            return PacketOutcome.Duplicate;
        }

        Counters.OutOfOrder++;
        if (source is not null)
        {
            source.OutOfOrder++;
            // What comes late isn't lost.
            var bit = 1u << -step;
            if ((source.Skips & bit) != 0)
            {
                source.Skips &= ~bit;
                source.Missing--;
                Counters.Missing--;
            }
            else
            {
                source.Echoes++;
            }
        }

        return PacketOutcome.OutOfOrder;
    }

    // A step back of 20 or more is a source that started anew, not a gap.
    private void Skipped(SourceState source, int step)
    {
        if (step <= 0)
        {
            source.Skips = 0;
            return;
        }

        source.Missing += step - 1;
        Counters.Missing += step - 1;
        source.Skips = step >= 32 ? uint.MaxValue & ~1u : (source.Skips << step) | ((1u << step) - 2);
    }
}
