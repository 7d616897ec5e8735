using System.Numerics;

namespace StageView.Light.Measure;

/// <summary>Light at a point that comes neither from a fixture nor off a mirror, but from matt surfaces.</summary>
public abstract class IndirectLight
{
    private protected IndirectLight()
    {
    }

    /// <summary>What a receiver gets at a point, linear Rec.709 in lx.</summary>
    internal abstract Vector3 At<TReceiver>(Vector3 point, in TReceiver receiver)
        where TReceiver : struct, IReceiver;
}
