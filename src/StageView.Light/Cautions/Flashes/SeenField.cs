using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Rays;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// The field of one eye or lens, followed moment after moment: what didn't move since the last one isn't looked at again, only made as bright as it is. Memory
/// grows with the beams of one moment, not with the show.
/// </summary>
public sealed class SeenField
{
    private readonly FieldSampler _sampler;
    private readonly EyeFrame _frame;
    private readonly Vector3[] _cells;
    private readonly Vector3[] _groups;
    private readonly Dictionary<UInt128, BeamShare> _beams = [];
    private readonly Dictionary<UInt128, PixelShare> _surfaces = [];
    private FieldRays? _rays;
    private UInt128 _room;
    private int _reads;

    /// <param name="sampler">The field and how finely it is read.</param>
    /// <param name="eye">m.</param>
    /// <param name="forward">Where it looks.</param>
    /// <param name="up">Which way is up, not along <paramref name="forward"/>.</param>
    public SeenField(FieldSampler sampler, Vector3 eye, Vector3 forward, Vector3 up)
    {
        ArgumentNullException.ThrowIfNull(sampler);
        (_sampler, _frame) = (sampler, EyeFrame.Of(eye, forward, up));
        var (columns, rows) = FieldRays.Across(sampler.Grid, sampler.Group);
        (_cells, _groups) = (new Vector3[sampler.Grid.Cells], new Vector3[columns * rows]);
    }

    public FieldGrid Grid => _sampler.Grid;

    /// <summary>Mean luminance of each cell at the last moment read, linear Rec.709 in cd/m².</summary>
    public ReadOnlySpan<Vector3> Cells => _cells;

    /// <summary>Reads the next moment.</summary>
    /// <param name="meter">The moment.</param>
    /// <param name="scene">What is looked at and stands in the way.</param>
    /// <param name="keys">The moment's keys.</param>
    public void Read(LightMeter meter, OcclusionScene scene, MomentKeys keys)
    {
        ArgumentNullException.ThrowIfNull(meter);
        ArgumentNullException.ThrowIfNull(scene);
        ArgumentNullException.ThrowIfNull(keys);
        _reads++;
        if (_rays is null || keys.Room != _room)
        {
            _rays = new FieldRays(Grid, _sampler.Group, _frame, meter, scene);
            _room = keys.Room;
            _beams.Clear();
            _surfaces.Clear();
        }

        Array.Clear(_cells);
        Array.Clear(_groups);
        Beams(meter, _rays, keys);
        Surfaces(meter, scene, _rays, keys);
        Spread();
    }

    private void Beams(LightMeter meter, FieldRays rays, MomentKeys keys)
    {
        var beams = meter.Moment.Beams.Span;
        for (var i = 0; i < beams.Length; i++)
        {
            if (!_beams.TryGetValue(keys.Beams[i], out var share))
            {
                _beams[keys.Beams[i]] = share = BeamShare.Of(meter, new BeamIndex(i), rays, Grid, _frame, _sampler.Haze);
            }

            share.Used = _reads;
            share.AddTo(beams[i], _groups, _cells);
        }

        Forget(_beams, beams.Length, s => s.Used);
    }

    private void Surfaces(LightMeter meter, OcclusionScene scene, FieldRays rays, MomentKeys keys)
    {
        var surfaces = meter.Moment.PixelSurfaces.Span;
        for (var i = 0; i < meter.Sums.Length; i++)
        {
            if (meter.Sums[i] is not { } sums)
            {
                continue;
            }

            if (!_surfaces.TryGetValue(keys.Surfaces[i], out var share))
            {
                _surfaces[keys.Surfaces[i]] = share = PixelShare.Of(meter, scene, surfaces[i], rays, Grid, _frame);
            }

            share.Used = _reads;
            share.AddTo(sums, _groups, _cells);
        }

        Forget(_surfaces, surfaces.Length, s => s.Used);
    }

    /// <summary>What moves leaves shares behind: the older half goes when there are many.</summary>
    private static void Forget<T>(Dictionary<UInt128, T> shares, int count, Func<T, int> used)
    {
        if (shares.Count > 64 + (4 * count))
        {
            foreach (var (key, _) in shares.OrderBy(s => used(s.Value)).Take(shares.Count / 2).ToList())
            {
                shares.Remove(key);
            }
        }
    }

    private void Spread()
    {
        var across = FieldRays.Across(Grid, _sampler.Group).Columns;
        for (var i = 0; i < _cells.Length; i++)
        {
            _cells[i] += _groups[(i / Grid.Columns / _sampler.Group * across) + (i % Grid.Columns / _sampler.Group)];
        }
    }
}
