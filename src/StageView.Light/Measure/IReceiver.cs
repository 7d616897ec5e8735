using System.Numerics;

namespace StageView.Light.Measure;

/// <summary>How a measuring head weighs light from a direction.</summary>
internal interface IReceiver
{
    /// <summary>Side from which light counts; zero when it counts from all round.</summary>
    Vector3 Normal { get; }

    /// <summary>Factor for the illuminance of a plane that faces the light; <paramref name="towards"/> is the unit vector to the light.</summary>
    float Weight(Vector3 towards);
}

/// <summary>A plane: cos of the incidence.</summary>
internal readonly record struct PlaneReceiver(Vector3 Normal) : IReceiver
{
    public float Weight(Vector3 towards) => MathF.Max(0, Vector3.Dot(Normal, towards));
}

/// <summary>The mean over all vertical planes, sin ε / π with ε the angle from the vertical (EN 12464-1, cylindrical illuminance).</summary>
internal readonly record struct CylinderReceiver : IReceiver
{
    public Vector3 Normal => Vector3.Zero;

    public float Weight(Vector3 towards) => MathF.Sqrt(MathF.Max(0, 1 - (towards.Z * towards.Z))) / MathF.PI;
}

/// <summary>A half cylinder that faces a horizontal direction: sin ε (1 + cos α) / π (EN 13201-3, semicylindrical illuminance).</summary>
internal readonly record struct HalfCylinderReceiver(Vector3 Facing) : IReceiver
{
    public Vector3 Normal => Vector3.Zero;

    public float Weight(Vector3 towards)
    {
        var across = MathF.Sqrt(MathF.Max(0, 1 - (towards.Z * towards.Z)));
        if (across < 1e-6f)
        {
            return 0;
        }

        var cos = ((Facing.X * towards.X) + (Facing.Y * towards.Y)) / across;
        return across * (1 + cos) / MathF.PI;
    }
}
