using System.Globalization;
using System.Numerics;

namespace StageView.Snapshot.Why;

/// <summary>The angle between two ways that a thing is turned, each told by where its x and z axes point.</summary>
internal static class Turns
{
    /// <summary>Degrees, 0 to 180; null where either isn't told so.</summary>
    public static double? Degrees(string? before, string? after)
    {
        if (Read(before) is not { } a || Read(after) is not { } b)
        {
            return null;
        }

        // The matrix that turns one into the other has a trace of 1 + 2 cos (Euler's rotation theorem); by half-angles, which small turns need.
        var (ya, yb) = (Vector3.Cross(a.Z, a.X), Vector3.Cross(b.Z, b.X));
        var apart = Vector3.DistanceSquared(a.X, b.X) + Vector3.DistanceSquared(ya, yb) + Vector3.DistanceSquared(a.Z, b.Z);
        return 2 * Math.Asin(Math.Min(1, Math.Sqrt(apart / 8))) * 180 / Math.PI;
    }

    private static (Vector3 X, Vector3 Z)? Read(string? text)
    {
        var parts = text?.Split(' ');
        if (parts?.Length != 6)
        {
            return null;
        }

        Span<float> n = stackalloc float[6];
        for (var i = 0; i < 6; i++)
        {
            if (!float.TryParse(parts[i], NumberStyles.Float, CultureInfo.InvariantCulture, out n[i]))
            {
                return null;
            }
        }

        return (new Vector3(n[0], n[1], n[2]), new Vector3(n[3], n[4], n[5]));
    }
}
