using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Cautions.Series;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// Counts flashes at one place, fed with the luminances of its field moment after moment. Constant memory, however long the show; times
/// need not be evenly spaced, but rates above a quarter of the feeding rate are not seen.
/// </summary>
/// <remarks>
/// Two things are listed: cells that each flash too often and together cover too much of a part of the field; and a part of the field of which too much
/// rises at once, and falls at once, too often, whichever cells do it (a chase that steps over a wall). A source smaller than its cell counts with the
/// whole cell, on the cautious side.
/// </remarks>
public sealed class FlashMeter
{
    /// <summary>Spells further apart than this are told apart, s.</summary>
    public const double SpellGap = 1;

    /// <summary>More spells than this are counted but not kept one by one: the worst stay.</summary>
    public const int MostSpells = 64;

    private readonly FieldGrid _grid;
    private readonly FlashRule _rule;
    private readonly Side _general;
    private readonly Side _red;
    private double _last = double.NegativeInfinity;

    public FlashMeter(FieldGrid grid, FlashRule rule)
    {
        ArgumentNullException.ThrowIfNull(grid);
        ArgumentNullException.ThrowIfNull(rule);
        (_grid, _rule) = (grid, rule);
        _general = new Side(FlashKind.General, grid, rule);
        _red = new Side(FlashKind.Red, grid, rule);
    }

    public FlashRule Rule => _rule;

    /// <summary>What went beyond the rule, by time; at most <see cref="MostSpells"/> of a kind.</summary>
    public IReadOnlyList<FlashSpell> Spells => [.. _general.Spells.Concat(_red.Spells).OrderBy(s => s.From)];

    /// <summary>How many spells there were, kept or not.</summary>
    public int SpellCount => _general.Count + _red.Count;

    /// <summary>The most flashes that enough of the field made within one second, allowed or not.</summary>
    public int MostFlashes(FlashKind kind) => (kind == FlashKind.Red ? _red : _general).Most;

    /// <summary>Flashes within the last second over enough of the field, over time.</summary>
    public DecimatedSeries Series(FlashKind kind) => (kind == FlashKind.Red ? _red : _general).Series;

    /// <summary>The next moment.</summary>
    /// <param name="seconds">Show time, s, not before the last one.</param>
    /// <param name="cells">Mean luminance of each cell, linear Rec.709 in cd/m².</param>
    public void Add(double seconds, ReadOnlySpan<Vector3> cells)
    {
        if (cells.Length != _grid.Cells)
        {
            throw new ArgumentException($"{cells.Length} luminances for a field of {_grid.Cells} cells", nameof(cells));
        }

        if (!(seconds >= _last))
        {
            throw new ArgumentException($"time {seconds} s comes after {_last} s", nameof(seconds));
        }

        _last = seconds;
        var (change, darker) = ((float)_rule.ChangeCandela, (float)_rule.DarkerCandela);
        var (white, ratio, redChange) = ((float)_rule.WhiteCandela, (float)_rule.RedRatio, (float)_rule.RedChange);
        for (var i = 0; i < cells.Length; i++)
        {
            var rgb = Vector3.Max(cells[i], Vector3.Zero);
            var sign = _general.Trackers[i].Step(BeamPhotometry.Luminance(rgb), change, darker);
            if (sign != 0)
            {
                _general.Note(i, sign, seconds);
            }

            var sum = rgb.X + rgb.Y + rgb.Z;
            var red = MathF.Max(0, rgb.X - rgb.Y - rgb.Z) / white * 320;
            sign = _red.Trackers[i].StepMarked(red, sum > 0 && rgb.X >= ratio * sum * (1 - 1e-6f), redChange);
            if (sign != 0)
            {
                _red.Note(i, sign, seconds);
            }
        }

        _general.Judge(seconds);
        _red.Judge(seconds);
    }

    /// <summary>One kind of flash.</summary>
    private sealed class Side(FlashKind kind, FieldGrid grid, FlashRule rule)
    {
        private readonly EventRings _cells = new(grid.Cells);
        private readonly EventRings _discs = new(grid.Discs);
        private readonly Burst[] _rises = new Burst[grid.Discs];
        private readonly Burst[] _falls = new Burst[grid.Discs];
        private readonly float[] _hot = new float[grid.Discs];
        private readonly float _area = (float)rule.Area * grid.DiscArea * (1 + 1e-5f);
        private double _lastEvent = double.NegativeInfinity;

        public OpposingChanges[] Trackers { get; } = new OpposingChanges[grid.Cells];

        public List<FlashSpell> Spells { get; } = [];

        public DecimatedSeries Series { get; } = new();

        public int Count { get; private set; }

        public int Most { get; private set; }

        public void Note(int cell, int sign, double seconds)
        {
            _lastEvent = seconds;
            _cells.Add(cell, sign, seconds);
            var bursts = sign > 0 ? _rises : _falls;
            foreach (var disc in grid.DiscsOf(cell))
            {
                ref var burst = ref bursts[disc];
                if (!burst.Begun || seconds - burst.Start > FlashRule.TogetherSeconds)
                {
                    burst = new Burst { Start = seconds, Begun = true };
                }

                burst.Area += grid.Areas[cell];
                if (burst.Area > _area && !burst.Told)
                {
                    burst.Told = true;
                    _discs.Add(disc, sign, seconds);
                }
            }
        }

        public void Judge(double seconds)
        {
            if (seconds - _lastEvent > 1)
            {
                Series.Add(seconds, 0);
                return;
            }

            // How often enough of a disc changes together, or of cells that flash that often by themselves.
            var (flashes, at, area, first) = (0, -1, 0f, seconds);
            for (var disc = 0; disc < grid.Discs; disc++)
            {
                var n = _discs.Flashes(disc, seconds);
                var together = MathF.Max(_rises[disc].Area, _falls[disc].Area);
                if (n > flashes || (n == flashes && n > 0 && together > area))
                {
                    (flashes, at, area, first) = (n, disc, together, _discs.Earliest(disc, seconds));
                }
            }

            Array.Clear(_hot);
            var (own, firstOwn) = (0, seconds);
            for (var cell = 0; cell < grid.Cells; cell++)
            {
                var n = _cells.Flashes(cell, seconds);
                if (n > rule.Most)
                {
                    own = own == 0 ? n : Math.Min(own, n);
                    firstOwn = Math.Min(firstOwn, _cells.Earliest(cell, seconds));
                    foreach (var disc in grid.DiscsOf(cell))
                    {
                        _hot[disc] += grid.Areas[cell];
                    }
                }
            }

            if (own > 0)
            {
                var hottest = Array.IndexOf(_hot, _hot.Max());
                if (_hot[hottest] > _area && own > flashes)
                {
                    (flashes, at, area, first) = (own, hottest, _hot[hottest], firstOwn);
                }
            }

            Most = Math.Max(Most, flashes);
            Series.Add(seconds, flashes);
            if (flashes > rule.Most)
            {
                Keep(first, seconds, flashes, area / grid.DiscArea, at);
            }
        }

        private void Keep(double from, double to, int flashes, double share, int cell)
        {
            if (Spells.Count > 0 && Spells[^1] is var last && from - last.To <= SpellGap)
            {
                var worse = flashes > last.Flashes || (flashes == last.Flashes && share > last.AreaShare);
                Spells[^1] = last with
                {
                    To = to,
                    Flashes = Math.Max(last.Flashes, flashes),
                    AreaShare = Math.Max(last.AreaShare, share),
                    Cell = worse ? cell : last.Cell,
                };
                return;
            }

            Count++;
            if (Spells.Count == MostSpells)
            {
                Spells.Remove(Spells.MinBy(s => s.Flashes * s.AreaShare * (s.Seconds + 1))!);
            }

            Spells.Add(new FlashSpell(kind, from, to, flashes, share, cell));
        }

        private struct Burst
        {
            public double Start;
            public float Area;
            public bool Begun;
            public bool Told;
        }
    }
}
