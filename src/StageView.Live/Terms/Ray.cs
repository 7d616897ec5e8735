using System.Numerics;

namespace StageView.Live.Terms;

/// <param name="Origin">m.</param>
/// <param name="Direction">Unit vector.</param>
/// <param name="Wide">The angle that one picture element covers, rad.</param>
internal readonly record struct Ray(Vector3 Origin, Vector3 Direction, float Wide = .001f)
{
    public Vector3 At(float metres) => Origin + (Direction * metres);

    /// <summary>Where the ray meets the horizontal plane at a height, or null when it never does within <paramref name="farthest"/>.</summary>
    public Vector3? AtHeight(float z, float farthest = 500)
    {
        if (MathF.Abs(Direction.Z) < 1e-5f)
        {
            return null;
        }

        var t = (z - Origin.Z) / Direction.Z;
        return t > 0 && t <= farthest ? At(t) : null;
    }
}
