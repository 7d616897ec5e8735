using System.Buffers.Binary;
using System.Security.Cryptography;
using StageView.Rig.Pieces;
using StageView.Stage.Levels;
using StageView.Wire.Universes;

namespace StageView.Stage.Changes;

/// <summary>
/// Finds the changes of a show in its levels alone. A channel starts when it moves after a rest; starts that follow each other
/// closely are one change; a channel that goes on moving (a chase) belongs to the change that set it off. Pixels of walls and
/// strips hardly ever rest: they count by their mean, as one channel a colour and profile (<see cref="PixelMeans"/>).
/// </summary>
public sealed class ChangeFinder : ILevelsSink
{
    /// <summary>How long a channel must stand still to count as at rest, s.</summary>
    private const double Rest = 0.6;

    /// <summary>Longest gap between two starts of one change, s (cues delay parts of themselves).</summary>
    private const double Gap = 0.35;

    /// <summary>From its first start to its last a change takes at most so long, s.</summary>
    private const double Longest = 2;

    /// <summary>A flash is back within this time, s.</summary>
    private const double FlashSeconds = 1.2;

    private readonly UniverseMap _map;
    private readonly byte[] _levels;
    private readonly byte[] _restLevels;
    private readonly byte[] _standsAt;
    private readonly int _bytes;
    private readonly PixelMeans _pixels;
    private readonly PlaceIdentity _identity;
    private readonly double[] _movedAt;
    private readonly int[] _burstOf;
    private readonly bool[] _watched;
    private readonly bool[] _heard;
    private readonly List<Burst> _bursts = [];

    public ChangeFinder(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        _map = new UniverseMap(rig);
        _bytes = _map.Count * 512;
        (_levels, _watched) = (new byte[_bytes], _map.Watched(rig));
        _heard = new bool[_map.Count];
        _pixels = new PixelMeans(rig, _map, _watched);
        _identity = new PlaceIdentity(rig, _map, _pixels.Names);
        var places = _bytes + _pixels.Count;
        (_restLevels, _standsAt, _movedAt, _burstOf) = (new byte[places], new byte[places], new double[places], new int[places]);
        Array.Fill(_movedAt, double.NegativeInfinity);
        Array.Fill(_burstOf, -1);
    }

    /// <inheritdoc/>
    public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels)
    {
        if (!_map.TryFind(universe, out var dense))
        {
            return;
        }

        var t = at.TotalSeconds;
        var first = !_heard[dense];
        _heard[dense] = true;
        for (var i = 0; i < levels.Length; i++)
        {
            var place = (dense * 512) + i;
            if (levels[i] == _levels[place] || (!_watched[place] && !_pixels.Take(place, _levels[place], levels[i])))
            {
                continue;
            }

            // What is heard for the first time was there before.
            if (!first && _watched[place])
            {
                Move(place, t, _levels[place], levels[i]);
            }

            _levels[place] = levels[i];
        }

        foreach (var (group, before, after) in _pixels.Moved(first))
        {
            Move(_bytes + group, t, before, after);
        }
    }

    /// <summary>The changes up to now.</summary>
    public IReadOnlyList<FoundChange> Finish()
    {
        for (var place = 0; place < _burstOf.Length; place++)
        {
            End(place);
        }

        var found = new List<FoundChange>(_bursts.Count);
        for (var i = 0; i < _bursts.Count; i++)
        {
            found.Add(_bursts[i].ToChange(i + 1, i + 1 < _bursts.Count ? _bursts[i + 1].Start : double.PositiveInfinity, _bytes, _identity));
        }

        return found;
    }

    private void Move(int place, double t, byte before, byte level)
    {
        if (t - _movedAt[place] > Rest)
        {
            End(place);
            if (_bursts.Count == 0 || t - _bursts[^1].LastStart > Gap || t - _bursts[^1].Start > Longest)
            {
                _bursts.Add(new Burst(t));
            }

            _burstOf[place] = _bursts.Count - 1;
            _restLevels[place] = before;
            _bursts[^1].Join(t, place >= _bytes);
        }

        _movedAt[place] = t;
        _standsAt[place] = level;
        _bursts[_burstOf[place]].Away(t, Math.Abs(level - _restLevels[place]) - Math.Abs(before - _restLevels[place]));
    }

    private void End(int place)
    {
        if (_burstOf[place] >= 0)
        {
            var (before, after) = (_restLevels[place], _standsAt[place]);
            // A mean that came back into its band is back.
            var back = place >= _bytes && Math.Abs(after - before) < PixelMeans.Band;
            _bursts[_burstOf[place]].Ends.Add((place, _movedAt[place], before, back ? before : after));
            _burstOf[place] = -1;
        }
    }

    private sealed class Burst(double start)
    {
        private long _away;
        private long _farthest;
        private double _peak = start;

        private bool _plain;

        public double Start { get; private set; } = start;

        public double LastStart { get; private set; } = start;

        public List<(int Place, double At, byte Before, byte After)> Ends { get; } = [];

        /// <summary>A channel starts, or a mean of pixels. Content may sway just before a cue: the first channel tells when the cue starts.</summary>
        public void Join(double t, bool isMean)
        {
            Start = !isMean && !_plain ? t : Start;
            _plain |= !isMean;
            LastStart = t;
        }

        public void Away(double t, int more)
        {
            _away += more;
            if (_away > _farthest)
            {
                (_farthest, _peak) = (_away, t);
            }
        }

        public FoundChange ToChange(int number, double next, int firstMean, PlaceIdentity identity)
        {
            var rested = Ends.Where(e => e.At < next).ToList();
            var settled = rested.Count > 0 ? rested.Max(e => e.At) : Start;
            var back = Ends.Count(e => e.Before == e.After);
            return new FoundChange
            {
                Number = number,
                Start = TimeSpan.FromSeconds(Start),
                Settled = TimeSpan.FromSeconds(settled),
                Peak = TimeSpan.FromSeconds(_peak),
                IsFlash = settled - Start <= FlashSeconds && back >= 0.8 * Ends.Count,
                Channels = Ends.Count,
                Look = Digest(rested, firstMean, identity),
                Shape = identity.Sketch(Ends.Select(e => e.Place)),
            };
        }

        private static string Digest(List<(int Place, double At, byte Before, byte After)> rested, int firstMean, PlaceIdentity identity)
        {
            // Means sway with their content: they tell a look only where nothing else does, and roughly.
            var plain = rested.Where(e => e.Place < firstMean).ToList();
            rested = plain.Count > 0 ? plain : [.. rested.Select(e => e with { After = (byte)(e.After / 32) })];
            var bytes = new byte[9 * rested.Count];
            var at = 0;
            foreach (var (id, after) in rested.Select(e => (Id: identity.Of(e.Place), e.After)).Order())
            {
                BinaryPrimitives.WriteUInt64BigEndian(bytes.AsSpan(at), id);
                bytes[at + 8] = after;
                at += 9;
            }

            return rested.Count == 0 ? "" : Convert.ToHexStringLower(SHA256.HashData(bytes))[..16];
        }
    }
}
