using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>Gives axes their motion: by the attributes of the channels bound to them, their speed by RealFade and RealAcceleration.</summary>
internal static class GdtfMotion
{
    public static IReadOnlyList<GeometryNode> Apply(GdtfTree tree, List<DmxChannel> channels)
    {
        var nodes = tree.Nodes;
        foreach (var c in channels)
        {
            foreach (var f in c.Functions)
            {
                if (Of(f.Attribute) is { } m && tree.AxisNode(c.Geometry, m) is var node && (nodes[node].Axis is null || nodes[node].Axis!.TopSpeed == 0))
                {
                    nodes[node] = nodes[node] with { Axis = Speed(m, f) };
                }
            }
        }

        return nodes;
    }

    /// <summary>How an attribute moves its geometry, or null.</summary>
    public static AxisMotion? Of(string attribute) => attribute.ToUpperInvariant() switch
    {
        "PAN" or "PANROTATE" => AxisMotion.TurnZ,
        "TILT" or "TILTROTATE" => AxisMotion.TurnX,
        "XYZ_Z" => AxisMotion.TravelZ,
        _ => null,
    };

    /// <summary>
    /// RealFade is the time T from one end of the range R to the other, RealAcceleration the time t from standstill to full
    /// speed (DIN SPEC 15800, Channel Function). A trapezoid covers R = v (T - t), so v = R / (T - t) and a = v / t.
    /// </summary>
    internal static AxisData Speed(AxisMotion motion, ChannelFunction f)
    {
        var range = MathF.Abs(f.PhysicalTo - f.PhysicalFrom);
        if (f.RealFade <= 0 || range <= 0 || f.Attribute.EndsWith("Rotate", StringComparison.Ordinal))
        {
            return new AxisData(motion, 0, 0, 0);
        }

        var ramp = Math.Min(f.RealAcceleration, f.RealFade / 2);
        var speed = range / (f.RealFade - ramp);
        return new AxisData(motion, speed, ramp > 0 ? speed / ramp : 0, 0);
    }
}
