using System.Numerics;

namespace StageView.Light.Rays;

/// <summary>A ray with a range, in units of its direction's length.</summary>
internal struct TreeRay
{
    public Vector3 Origin;
    public Vector3 Direction;
    public float From;
    public float To;

    /// <summary>The direction with no component closer to zero than 1e-20, so that slab tests divide safely.</summary>
    public readonly Vector3 Safe => new(Away(Direction.X), Away(Direction.Y), Away(Direction.Z));

    private static float Away(float v) => MathF.Abs(v) < 1e-20f ? MathF.CopySign(1e-20f, v) : v;
}

/// <summary>Tests what a leaf of a <see cref="WideTree"/> holds.</summary>
internal interface ILeafVisitor
{
    /// <summary>Whether it may shorten the ray's range.</summary>
    static abstract bool Shortens { get; }

    /// <summary>Returns true to end the visit.</summary>
    bool Leaf(int leaf, ref TreeRay ray);
}
