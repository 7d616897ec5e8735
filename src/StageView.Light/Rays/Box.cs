using System.Numerics;

namespace StageView.Light.Rays;

/// <summary>An axis-aligned box, m.</summary>
internal struct Box
{
    public Vector3 Min;
    public Vector3 Max;

    public static Box Empty => new() { Min = new Vector3(float.MaxValue), Max = new Vector3(float.MinValue) };

    public readonly Vector3 Centre => (Min + Max) * 0.5f;

    public readonly float HalfArea
    {
        get
        {
            var e = Vector3.Max(Max - Min, Vector3.Zero);
            return (e.X * e.Y) + (e.Y * e.Z) + (e.Z * e.X);
        }
    }

    public void Include(Vector3 p)
    {
        Min = Vector3.Min(Min, p);
        Max = Vector3.Max(Max, p);
    }

    public void Include(in Box o)
    {
        Min = Vector3.Min(Min, o.Min);
        Max = Vector3.Max(Max, o.Max);
    }
}
