using System.Net.Sockets;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Wire.Capture;

/// <summary>
/// The E1.31 streams that were sent and not yet ended: a source and one of its universes, with the last packet of each. Receivers tell streams apart so
/// (ANSI E1.31-2018 §6.7.1).
/// </summary>
internal sealed class SentStreams
{
    private readonly Dictionary<(Cid Source, UniverseNumber Universe), Open> _open = [];

    public int Count => _open.Count;

    /// <summary>Takes note of a packet that was sent; one that ends its stream, and what is no E1.31 data packet, leaves nothing to end.</summary>
    public void Note(ReadOnlySpan<byte> payload, Socket by)
    {
        if (!E131Parser.TryParse(payload, out E131DataPacket packet, out _))
        {
            return;
        }

        var key = (packet.Cid, packet.Universe);
        if (packet.Terminated)
        {
            _open.Remove(key);
            return;
        }

        if (!_open.TryGetValue(key, out var open))
        {
            _open.Add(key, open = new Open());
        }

        open.By = by;
        open.Sequence = packet.Sequence;
        // Levels rather than what other start codes carry: a receiver that overlooks the option then hears nothing new.
        if (open.Length == 0 || packet.StartCode == E131Numbers.NullStartCode)
        {
            open.Length = Math.Min(payload.Length, open.Packet.Length);
            payload[..open.Length].CopyTo(open.Packet);
        }
    }

    /// <summary>
    /// Ends all of them as a source does (§6.2.6): three packets each with the option Stream_Terminated, sequence numbers running on. All streams once, then
    /// all again, so that a burst that is lost leaves no stream without. They wait for no synchronisation.
    /// </summary>
    /// <param name="send">Sends one packet.</param>
    public void End(SendPacket send)
    {
        Span<byte> buffer = stackalloc byte[E131Numbers.LongestDataPacket];
        for (var i = 0; i < E131Numbers.TerminationPackets; i++)
        {
            foreach (var open in _open.Values)
            {
                if (!E131Parser.TryParse(open.Packet.AsSpan(0, open.Length), out E131DataPacket last, out _))
                {
                    continue;
                }

                var length = E131Writer.Write(buffer, new E131DataPacket
                {
                    Cid = last.Cid,
                    SourceName = last.SourceName,
                    Priority = last.Priority,
                    Sequence = ++open.Sequence,
                    Preview = last.Preview,
                    Terminated = true,
                    Universe = last.Universe,
                    StartCode = last.StartCode,
                    Levels = last.Levels,
                });
                send(open.By!, buffer[..length]);
            }
        }

        _open.Clear();
    }

    public delegate void SendPacket(Socket by, ReadOnlySpan<byte> packet);

    private sealed class Open
    {
        public Socket? By { get; set; }

        public byte Sequence { get; set; }

        public byte[] Packet { get; } = new byte[E131Numbers.LongestDataPacket];

        public int Length { get; set; }
    }
}
