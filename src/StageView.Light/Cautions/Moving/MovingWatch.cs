using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Volumes;

namespace StageView.Light.Cautions.Moving;

/// <summary>
/// Follows moving pieces: how close they come to each other and to volumes with people, whether they pass over those, and how fast. Fed with poses moment
/// after
/// moment; memory for each pair only. Worked out from the levels and the rig file: no interlock, and no promise that a winch does what it is told.
/// </summary>
public sealed class MovingWatch
{
    private readonly IReadOnlyList<MovingPiece> _pieces;
    private readonly IReadOnlyList<WatchedVolume> _volumes;
    private readonly CautionLimits _limits;
    private readonly Solid[] _before;
    private readonly float[] _speeds;
    private readonly float[] _fastest;
    private readonly double[] _fastestAt;
    private readonly Dictionary<(int, int), PairClearance> _pairs = [];
    private readonly Dictionary<(int, int), VolumePass> _passes = [];
    private double _last = double.NaN;

    /// <param name="pieces">What may move.</param>
    /// <param name="volumes">Where people may be.</param>
    /// <param name="limits">Null for the defaults.</param>
    public MovingWatch(IReadOnlyList<MovingPiece> pieces, IReadOnlyList<WatchedVolume> volumes, CautionLimits? limits = null)
    {
        ArgumentNullException.ThrowIfNull(pieces);
        ArgumentNullException.ThrowIfNull(volumes);
        (_pieces, _volumes, _limits) = (pieces, volumes, limits ?? CautionLimits.Default);
        (_before, _speeds, _fastest, _fastestAt) = (new Solid[pieces.Count], new float[pieces.Count], new float[pieces.Count], new double[pieces.Count]);
    }

    /// <summary>Pairs that came closer than <see cref="CautionLimits.ClearanceMetres"/>, or could have between moments, closest first.</summary>
    public IReadOnlyList<PairClearance> TooClose => [.. _pairs.Values.Where(p => p.CouldBeMetres < _limits.ClearanceMetres).OrderBy(p => p.Least.Metres)];

    /// <summary>The least clearance of every pair of which one moved, closest first.</summary>
    public IReadOnlyList<PairClearance> Clearances => [.. _pairs.Values.OrderBy(p => p.Least.Metres)];

    /// <summary>Pieces that moved over a volume, or closer to it than <see cref="CautionLimits.VolumeClearanceMetres"/>, by time.</summary>
    public IReadOnlyList<VolumePass> Passes => [.. _passes.Values.OrderBy(p => p.From)];

    /// <summary>A piece's highest speed (of its fastest point) and when it had it, m/s and s.</summary>
    public (float MetresPerSecond, double Seconds) Fastest(int piece) => (_fastest[piece], _fastestAt[piece]);

    /// <summary>The next moment.</summary>
    /// <param name="seconds">Show time, s, after the last one.</param>
    /// <param name="solids">Where each piece is.</param>
    /// <param name="placed">Pieces that were put where they are since the last moment, rather than moved there; empty when none were.</param>
    public void Add(double seconds, ReadOnlySpan<Solid> solids, ReadOnlySpan<bool> placed = default)
    {
        if (solids.Length != _pieces.Count)
        {
            throw new ArgumentException($"{solids.Length} poses for {_pieces.Count} pieces", nameof(solids));
        }

        var step = seconds - _last;
        if (step <= 0)
        {
            throw new ArgumentException($"time {seconds} s comes after {_last} s", nameof(seconds));
        }

        if (!double.IsNaN(step))
        {
            Speeds(seconds, step, solids, placed);
            for (var i = 0; i < solids.Length; i++)
            {
                Pairs(seconds, step, i, solids);
                Volumes(seconds, i, solids[i]);
            }
        }

        solids.CopyTo(_before);
        _last = seconds;
    }

    private void Speeds(double seconds, double step, ReadOnlySpan<Solid> solids, ReadOnlySpan<bool> placed)
    {
        for (var i = 0; i < solids.Length; i++)
        {
            _speeds[i] = !placed.IsEmpty && placed[i] ? 0 : (float)(solids[i].MovedFrom(_before[i]) / step);
            if (_speeds[i] > _fastest[i])
            {
                (_fastest[i], _fastestAt[i]) = (_speeds[i], seconds);
            }
        }
    }

    private bool Moves(int piece) => _speeds[piece] > _limits.MovingMetresPerSecond;

    private void Pairs(double seconds, double step, int i, ReadOnlySpan<Solid> solids)
    {
        for (var k = i + 1; k < solids.Length; k++)
        {
            if ((!Moves(i) && !Moves(k)) || (_pieces[i].Group >= 0 && _pieces[i].Group == _pieces[k].Group))
            {
                continue;
            }

            // Each moment may have been passed at its closest up to half a step away.
            var way = (_speeds[i] + _speeds[k]) * (float)step / 2;
            var known = _pairs.GetValueOrDefault((i, k));
            var apart = System.Numerics.Vector3.Distance(solids[i].Middle, solids[k].Middle) - solids[i].Reach - solids[k].Reach;
            if (known is not null && apart >= known.Least.Metres && apart - way >= known.CouldBeMetres)
            {
                continue;
            }

            var least = Distances.Between(solids[i], solids[k]);
            var could = MathF.Max(0, least.Metres - way);
            if (known is null || least.Metres < known.Least.Metres)
            {
                _pairs[(i, k)] = new PairClearance(i, k, seconds, least, known is null ? could : MathF.Min(could, known.CouldBeMetres),
                    _speeds[i] + _speeds[k]);
            }
            else if (could < known.CouldBeMetres)
            {
                _pairs[(i, k)] = known with { CouldBeMetres = could };
            }
        }
    }

    private void Volumes(double seconds, int piece, in Solid solid)
    {
        if (!Moves(piece))
        {
            return;
        }

        for (var v = 0; v < _volumes.Count; v++)
        {
            var box = Solid.Box(_volumes[v]);
            var over = solid.Top > box.Bottom && Distances.Plan(solid, box) <= 0;
            var least = Distances.Between(solid, box);
            if (!over && least.Metres >= _limits.VolumeClearanceMetres)
            {
                continue;
            }

            if (!_passes.TryGetValue((piece, v), out var known))
            {
                _passes[(piece, v)] = new VolumePass(piece, v, over, seconds, seconds, seconds, least, _speeds[piece]);
                continue;
            }

            var closer = least.Metres < known.Least.Metres;
            _passes[(piece, v)] = known with
            {
                IsOver = known.IsOver || over,
                To = seconds,
                Seconds = closer ? seconds : known.Seconds,
                Least = closer ? least : known.Least,
                MetresPerSecond = MathF.Max(known.MetresPerSecond, _speeds[piece]),
            };
        }
    }
}
