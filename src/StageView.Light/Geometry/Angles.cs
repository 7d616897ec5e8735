namespace StageView.Light.Geometry;

/// <summary>Degrees belong to files and command lines, radians to everything inside.</summary>
public static class Angles
{
    public const float RadiansPerDegree = MathF.PI / 180f;

    public static float Radians(float degrees) => degrees * RadiansPerDegree;

    public static float Degrees(float radians) => radians / RadiansPerDegree;
}
