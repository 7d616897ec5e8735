using System.Text;
using StageView.Stage.Levels;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Show.LineCheck;

/// <summary>
/// The packets of a line check: a universe is sent when it changes, three times more, then each 0.8 s (E1.31 §6.6.2), at priority 100 from a source of
/// our own.
/// </summary>
/// <param name="plan">What is lit.</param>
/// <param name="name">The source's name.</param>
public sealed class LineSender(LinePlan plan, string name)
{
    /// <summary>Between two ticks.</summary>
    public static readonly TimeSpan TickTime = TimeSpan.FromMilliseconds(25);

    private const int Repeats = 3;
    private static readonly TimeSpan s_keepAlive = TimeSpan.FromMilliseconds(800);
    private readonly Dictionary<int, (byte[] Levels, TimeSpan At, int Repeated, byte Sequence)> _sent = [];
    private readonly byte[] _name = [.. Encoding.UTF8.GetBytes(name).Take(63)];
    private readonly Cid _cid = Cid.From(Guid.NewGuid());
    private readonly byte[] _packet = new byte[E131Numbers.LongestDataPacket];
    private (int Step, LevelsEncoder Levels)? _now;

    /// <summary>Takes a packet.</summary>
    public delegate void Take(int universe, ReadOnlySpan<byte> packet);

    /// <summary>Sends what is due.</summary>
    /// <param name="at">Time since the beginning, rising.</param>
    /// <param name="step">Which fixture is lit; beyond the last for none.</param>
    /// <param name="take">Takes each packet.</param>
    public void Tick(TimeSpan at, int step, Take take)
    {
        ArgumentNullException.ThrowIfNull(take);
        if (_now?.Step != step)
        {
            _now = (step, plan.LevelsOf(step));
        }

        var levels = _now.Value.Levels;
        for (var place = 0; place < levels.Universes.Count; place++)
        {
            var universe = levels.Universes[place];
            if (!plan.Universes.Contains(universe))
            {
                continue;
            }

            var now = levels.LevelsOf(place);
            var known = _sent.TryGetValue(universe, out var sent);
            var changed = !known || !now.SequenceEqual(sent.Levels);
            if (!changed && sent.Repeated >= Repeats && at - sent.At < s_keepAlive)
            {
                continue;
            }

            sent = (changed ? now.ToArray() : sent.Levels, at, changed ? 0 : Math.Min(Repeats, sent.Repeated + 1), (byte)(sent.Sequence + 1));
            _sent[universe] = sent;
            var length = E131Writer.Write(_packet, new E131DataPacket
            {
                Cid = _cid, SourceName = _name, Priority = E131Numbers.DefaultPriority, Sequence = sent.Sequence, Universe = new UniverseNumber(universe),
                Levels = sent.Levels,
            });
            take(universe, _packet.AsSpan(0, length));
        }
    }
}
