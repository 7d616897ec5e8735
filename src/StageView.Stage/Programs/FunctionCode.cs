using System.Numerics;
using StageView.Rig;

namespace StageView.Stage;

/// <summary>A channel function made ready to run.</summary>
internal sealed class FunctionCode
{
    public required ChannelFunction Source { get; init; }

    public required AttributeOp Op { get; init; }

    /// <summary>The n of the attribute.</summary>
    public required int Number { get; init; }

    public required ChannelSet[] Sets { get; init; }

    /// <summary>Mover this function drives, or -1 when its value counts at once.</summary>
    public int Mover { get; set; } = -1;

    /// <summary>Whether the physical value is a speed for the mover instead of a target.</summary>
    public bool IsSpeed { get; set; }

    /// <summary>For additive colour: XYZ at full, with Y as the share of the fixture's flux before <see cref="EmitterCode.AddScale"/>.</summary>
    public Vector3 AddXyz { get; set; }

    /// <summary>For additive colour on lasers: which wavelength.</summary>
    public int Line { get; set; } = -1;

    public WheelSlot[] Slots { get; set; } = [];

    public bool Contains(uint raw) => raw >= Source.DmxFrom && raw <= Source.DmxTo;

    /// <summary>Share of the function's range at <paramref name="raw"/>, 0 to 1, after its curve.</summary>
    public float Share(uint raw)
    {
        double span = Source.DmxTo - (double)Source.DmxFrom;
        return Curve(span <= 0 ? 0 : (float)Math.Clamp((raw - (double)Source.DmxFrom) / span, 0, 1));
    }

    /// <summary>Share of the physical range at a share of the DMX range.</summary>
    public float Curve(float x) => Source.Curve switch
    {
        ResponseCurve.Square => x * x,
        ResponseCurve.SCurve => x * x * (3 - (2 * x)),
        ResponseCurve.SquareRoot => MathF.Sqrt(x),
        _ => x,
    };

    /// <summary>Inverse of <see cref="Curve"/>.</summary>
    public float InverseCurve(float y)
    {
        y = Math.Clamp(y, 0, 1);
        switch (Source.Curve)
        {
            case ResponseCurve.Square:
                return MathF.Sqrt(y);
            case ResponseCurve.SquareRoot:
                return y * y;
            case ResponseCurve.SCurve:
                // Root of 3x² - 2x³ = y in 0..1, by the trigonometric solution of the cubic.
                return 0.5f - MathF.Sin(MathF.Asin(1 - (2 * y)) / 3);
            default:
                return y;
        }
    }

    public int SetAt(uint raw)
    {
        for (var i = 0; i < Sets.Length; i++)
        {
            if (raw >= Sets[i].DmxFrom && raw <= Sets[i].DmxTo)
            {
                return i;
            }
        }

        return -1;
    }

    /// <summary>Physical value: a set's own range where it states one, else the function's.</summary>
    public float Physical(uint raw, int set)
    {
        if (set >= 0 && OwnRange(Sets[set]))
        {
            var s = Sets[set];
            var span = s.DmxTo - (double)s.DmxFrom;
            var x = span <= 0 ? 0 : (float)((raw - (double)s.DmxFrom) / span);
            return s.PhysicalFrom + ((s.PhysicalTo - s.PhysicalFrom) * Curve(x));
        }

        return PhysicalAt(Share(raw));
    }

    public float PhysicalAt(float share) => Source.PhysicalFrom + ((Source.PhysicalTo - Source.PhysicalFrom) * share);

    /// <summary>Sets whose range is left at the function's are names only, unless they cover the function.</summary>
    private bool OwnRange(ChannelSet set) => set.PhysicalFrom != Source.PhysicalFrom || set.PhysicalTo != Source.PhysicalTo;
}
