using StageView.Light.Moments;

namespace StageView.Stage.Optics;

/// <summary>The gobo wheels and the animation wheel of one emitter: what of them stands in the beam. A beam carries three images at most.</summary>
internal struct GoboLayers
{
    /// <summary>How many gobo wheels count.</summary>
    public const int Wheels = 3;

    /// <summary>Radius of an animation wheel and distance of its middle from the beam, along the beam's own +X, in field radii (models of our own).</summary>
    private const float DiscRadius = 3.2f, DiscMiddle = 2;

    private GoboState _first, _second, _third, _disc;

    /// <summary>Puts an image into a wheel, counted from 1; those beyond the last count as the last.</summary>
    public void Put(int wheel, int image, float offset)
    {
        ref var g = ref Of(ref this, wheel);
        g = g with { Image = image, OffsetX = g.OffsetX + offset };
    }

    public void Turn(int wheel, float radians)
    {
        ref var g = ref Of(ref this, wheel);
        g = g with { RotationRadians = radians };
    }

    public void Shake(int wheel, float offset)
    {
        ref var g = ref Of(ref this, wheel);
        g = g with { OffsetX = g.OffsetX + offset };
    }

    public void PutDisc(int image) => _disc = _disc with { Image = image, OffsetX = DiscMiddle, Radius = DiscRadius };

    public void TurnDisc(float radians) => _disc = _disc with { RotationRadians = radians };

    /// <summary>The images in the beam, in order, those first that are there.</summary>
    /// <param name="images">How many images the rig has.</param>
    public readonly (GoboState First, GoboState Second, GoboState Third) In(int images)
    {
        Span<GoboState> kept = stackalloc GoboState[Wheels + 1];
        var count = 0;
        foreach (var g in (ReadOnlySpan<GoboState>)[_first, _second, _third, _disc])
        {
            if (g.Image > 0 && g.Image <= images)
            {
                kept[count++] = g;
            }
        }

        return (kept[0], kept[1], kept[2]);
    }

    private static ref GoboState Of(ref GoboLayers layers, int wheel)
    {
        if (wheel <= 1)
        {
            return ref layers._first;
        }

        if (wheel == 2)
        {
            return ref layers._second;
        }

        return ref layers._third;
    }
}
