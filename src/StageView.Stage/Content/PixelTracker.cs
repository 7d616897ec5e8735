using System.Numerics;
using StageView.Light.Moments;
using StageView.Rig.Pieces;

namespace StageView.Stage.Content;

/// <summary>
/// Follows the pixels of a map while what carries them moves: how far each lies from where the map thinks it is, in the picture's plane. Where a pixel really
/// is in the picture follows from its place at rest and the picture's slope there: uv = uv0 + (grad u · d, grad v · d) for a step d from rest.
/// </summary>
public sealed class PixelTracker
{
    private readonly PixelMap _map;
    private readonly int[] _first;
    private readonly int[] _at;
    private readonly float[] _displacements;
    private readonly float[] _scratch;

    public PixelTracker(PixelMap map)
    {
        ArgumentNullException.ThrowIfNull(map);
        _map = map;
        _first = new int[map.Patches.Count + 1];
        for (var i = 0; i < map.Patches.Count; i++)
        {
            _first[i + 1] = _first[i] + (map.Patches[i].Rest.Columns * map.Patches[i].Rest.Rows);
        }

        _at = new int[map.Patches.Count];
        _displacements = new float[_first[^1]];
        _scratch = new float[_first[^1]];
    }

    /// <summary>Of each pixel, patch by patch, row by row, m.</summary>
    public ReadOnlySpan<float> Displacements => _displacements;

    /// <summary>Pixels of a patch among <see cref="Displacements"/>.</summary>
    public Range RangeOf(int patch) => _first[patch].._first[patch + 1];

    /// <summary>Looks where the pixels are.</summary>
    /// <param name="now">All surfaces of the rig; see <see cref="StageModel.SurfacesAt"/>.</param>
    public TrackedFrame Track(ReadOnlySpan<PixelSurface> now)
    {
        Array.Fill(_at, -1);
        var found = Find(now);
        var (largest, patchOf, pitches, away) = (0f, -1, 0f, 0);
        for (var i = 0; i < _map.Patches.Count; i++)
        {
            var patch = _map.Patches[i];
            var pixels = _displacements.AsSpan(RangeOf(i));
            if (_at[i] < 0)
            {
                pixels.Clear();
                continue;
            }

            ref readonly var s = ref now[_at[i]];
            var most = Displace(patch, s, pixels);
            var pitch = PitchOf(patch.Rest);
            pitches = MathF.Max(pitches, most / pitch);
            if (most > largest)
            {
                (largest, patchOf) = (most, i);
            }

            away += IsAway(patch, s) ? pixels.Length : 0;
        }

        _displacements.CopyTo(_scratch, 0);
        var median = _scratch.Length == 0 ? 0 : Nth.Smallest(_scratch, _scratch.Length / 2);
        return new TrackedFrame(largest, median, patchOf, pitches, away, _map.Patches.Count - found);
    }

    /// <summary>Whether a surface is turned away from who sees the picture the right way round.</summary>
    public static bool IsAway(MapPatch patch, in PixelSurface now)
    {
        ArgumentNullException.ThrowIfNull(patch);
        return now.Shape == PixelShape.Flat && Vector3.Dot(now.FrontNormal, patch.Front) < -1e-3f;
    }

    /// <summary>
    /// Picture light on the pixels of a surface where it is, full white 1: what content would show there if its map followed.
    /// </summary>
    /// <param name="patch">Its place at rest.</param>
    /// <param name="now">Where it is.</param>
    /// <param name="image">The picture.</param>
    /// <param name="away">What it shows turned away.</param>
    /// <param name="light">Row by row.</param>
    public static void Sample(MapPatch patch, in PixelSurface now, ContentImage image, FacingAway away, Span<Vector3> light)
    {
        ArgumentNullException.ThrowIfNull(patch);
        ArgumentNullException.ThrowIfNull(image);
        var isAway = IsAway(patch, now);
        if (isAway && away == FacingAway.Dark)
        {
            light.Clear();
            return;
        }

        var still = isAway && away == FacingAway.Hold;
        var (rest, globe) = (patch.Rest, now.Shape == PixelShape.Globe);
        var origin = still ? Vector2.Zero : Along(patch, now.Origin - rest.Origin);
        var right = still || globe ? patch.Right : patch.Right + Along(patch, now.EdgeU - rest.EdgeU);
        var down = still || globe ? patch.Down : patch.Down + Along(patch, now.EdgeV - rest.EdgeV);
        if (patch.ByHand is null)
        {
            var sampler = new PatchSampler(patch.Corner + origin, right / rest.Columns, down / rest.Rows, new Vector2(image.Width, image.Height));
            for (var i = 0; i < light.Length; i++)
            {
                light[i] = sampler.Mean(image, i % rest.Columns, i / rest.Columns);
            }

            return;
        }

        for (var i = 0; i < light.Length; i++)
        {
            var (c, r) = ((i % rest.Columns) + .5f, (i / rest.Columns) + .5f);
            var middle = patch.MiddleOf(i % rest.Columns, i / rest.Columns) + origin
                + (still || globe ? Vector2.Zero
                    : Along(patch, ((now.EdgeU - rest.EdgeU) * (c / rest.Columns)) + ((now.EdgeV - rest.EdgeV) * (r / rest.Rows))));
            var reach = new Vector2(patch.ByHand[i].Z, patch.ByHand[i].W) / 2;
            light[i] = float.IsNaN(middle.X) ? Vector3.Zero : image.Mean(middle.X - reach.X, middle.Y - reach.Y, middle.X + reach.X, middle.Y + reach.Y);
        }
    }

    /// <summary>Where the middle of a pixel is, world m.</summary>
    public static Vector3 PlaceOf(in PixelSurface s, int column, int row) => s.Shape == PixelShape.Globe ? s.Origin
        : s.Origin + (s.EdgeU * ((column + .5f) / s.Columns)) + (s.EdgeV * ((row + .5f) / s.Rows));

    /// <summary>The larger side of a pixel, m.</summary>
    public static float PitchOf(in PixelSurface s) => MathF.Max(s.EdgeU.Length() / s.Columns, s.EdgeV.Length() / s.Rows);

    private static Vector2 Along(MapPatch patch, Vector3 step) => new(Vector3.Dot(step, patch.PerMetreU), Vector3.Dot(step, patch.PerMetreV));

    private int Find(ReadOnlySpan<PixelSurface> now)
    {
        var (found, next) = (0, 0);
        for (var i = 0; i < _map.Patches.Count; i++)
        {
            // Nearly always the one behind the last.
            var patch = _map.Patches[i];
            for (var k = 0; k < now.Length; k++)
            {
                var at = (next + k) % now.Length;
                if (now[at].Fixture == patch.Fixture && now[at].Emitter == patch.Emitter && now[at].Columns == patch.Rest.Columns
                    && now[at].Rows == patch.Rest.Rows)
                {
                    (_at[i], next) = (at, at + 1);
                    found++;
                    break;
                }
            }
        }

        return found;
    }

    private static float Displace(MapPatch patch, in PixelSurface now, Span<float> pixels)
    {
        var rest = patch.Rest;
        var (lengthU, lengthV) = (patch.PerMetreU.Length(), patch.PerMetreV.Length());
        var u = lengthU > 0 ? patch.PerMetreU / lengthU : Vector3.Normalize(rest.EdgeU);
        var v = lengthV > 0 ? patch.PerMetreV / lengthV : Vector3.Normalize(rest.EdgeV);
        Vector2 In(Vector3 step) => new(Vector3.Dot(step, u), Vector3.Dot(step, v));
        var corner = In(now.Origin - rest.Origin);
        var globe = now.Shape == PixelShape.Globe;
        var right = globe ? Vector2.Zero : In(now.EdgeU - rest.EdgeU) / rest.Columns;
        var down = globe ? Vector2.Zero : In(now.EdgeV - rest.EdgeV) / rest.Rows;
        var (most, i) = (0f, 0);
        for (var row = 0; row < rest.Rows; row++)
        {
            var at = corner + (down * (row + .5f)) + (right * .5f);
            for (var column = 0; column < rest.Columns; column++)
            {
                var d = at.Length();
                pixels[i++] = d;
                most = MathF.Max(most, d);
                at += right;
            }
        }

        return most;
    }
}
