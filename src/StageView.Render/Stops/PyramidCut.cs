using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Render.Stops;

/// <summary>Cuts boxes and outlines by the pyramid around a beam.</summary>
internal sealed class PyramidCut
{
    private static readonly byte[] Faces = [0, 2, 6, 4, 1, 3, 7, 5, 0, 1, 5, 4, 2, 3, 7, 6, 0, 1, 3, 2, 4, 5, 7, 6];
    private Vector3[] _polygon = new Vector3[64];
    private Vector3[] _spare = new Vector3[64];

    /// <summary>
    /// Least distance along the beam's axis, m, of what lies in the pyramid: 0 when it reaches behind the apex, infinity when nothing lies in it.
    /// </summary>
    /// <param name="corners">Eight of a box, numbered by bits (x, y, z), or a flat outline.</param>
    /// <param name="sides">The pyramid's sides, then those through the window that the beam comes out of: planes through the apex, normals inward.</param>
    public float Nearest(in Beam beam, ReadOnlySpan<Vector3> corners, ReadOnlySpan<Vector4> sides)
    {
        var nearest = float.PositiveInfinity;
        var box = corners.Length == 8;
        if (box && Inside(corners, beam.Apex))
        {
            return 0;
        }

        for (var face = 0; face < (box ? 6 : 1); face++)
        {
            var count = box ? 4 : Math.Min(corners.Length, 32);
            for (var i = 0; i < count; i++)
            {
                _polygon[i] = corners[box ? Faces[(4 * face) + i] : i];
            }

            count = Cut(beam.Apex, sides, count);
            for (var i = 0; i < count; i++)
            {
                nearest = MathF.Min(nearest, Vector3.Dot(_polygon[i] - beam.Apex, beam.Axis));
            }
        }

        return MathF.Max(0, nearest);
    }

    private static bool Inside(ReadOnlySpan<Vector3> corners, Vector3 point)
    {
        var (x, y, z) = (corners[1] - corners[0], corners[2] - corners[0], corners[4] - corners[0]);
        var to = point - corners[0];
        var volume = Vector3.Dot(x, Vector3.Cross(y, z));
        return Vector3.Dot(to, Vector3.Cross(y, z)) / volume is >= 0 and <= 1 && Vector3.Dot(to, Vector3.Cross(z, x)) / volume is >= 0 and <= 1
            && Vector3.Dot(to, Vector3.Cross(x, y)) / volume is >= 0 and <= 1;
    }

    private int Cut(Vector3 apex, ReadOnlySpan<Vector4> sides, int count)
    {
        for (var s = 0; s < sides.Length && count > 0; s++)
        {
            var normal = new Vector3(sides[s].X, sides[s].Y, sides[s].Z);
            var kept = 0;
            var a = _polygon[count - 1];
            var heightA = Vector3.Dot(normal, a - apex);
            for (var i = 0; i < count; i++)
            {
                var b = _polygon[i];
                var heightB = Vector3.Dot(normal, b - apex);
                if (heightA >= 0 != heightB >= 0 && kept < _spare.Length)
                {
                    _spare[kept++] = a + ((b - a) * (heightA / (heightA - heightB)));
                }

                if (heightB >= 0 && kept < _spare.Length)
                {
                    _spare[kept++] = b;
                }

                (a, heightA) = (b, heightB);
            }

            count = kept;
            (_polygon, _spare) = (_spare, _polygon);
        }

        return count;
    }
}
