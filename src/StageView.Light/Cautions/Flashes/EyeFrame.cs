using System.Numerics;

namespace StageView.Light.Cautions.Flashes;

/// <summary>An eye: where it is, m, and its own axes, unit vectors.</summary>
internal readonly record struct EyeFrame(Vector3 Eye, Vector3 Ahead, Vector3 Right, Vector3 Up)
{
    /// <param name="eye">m.</param>
    /// <param name="forward">Where it looks, of any length.</param>
    /// <param name="up">Which way is up, not along <paramref name="forward"/>.</param>
    public static EyeFrame Of(Vector3 eye, Vector3 forward, Vector3 up)
    {
        var ahead = Vector3.Normalize(forward);
        var right = Vector3.Normalize(Vector3.Cross(ahead, up));
        return new EyeFrame(eye, ahead, right, Vector3.Cross(right, ahead));
    }

    public Vector3 ToWorld(Vector3 d) => (Right * d.X) + (Up * d.Y) + (Ahead * d.Z);

    public Vector3 ToEye(Vector3 d) => new(Vector3.Dot(d, Right), Vector3.Dot(d, Up), Vector3.Dot(d, Ahead));
}
