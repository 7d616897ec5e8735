using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>Gives axes their motion: by the attributes of the channels bound to them, their speed by RealFade and RealAcceleration.</summary>
internal static class GdtfMotion
{
    public static IReadOnlyList<GeometryNode> Apply(List<GeometryNode> nodes, List<DmxChannel> channels)
    {
        foreach (var c in channels)
        {
            foreach (var f in c.Functions)
            {
                AxisMotion? motion = f.Attribute switch
                {
                    "Pan" or "PanRotate" => AxisMotion.TurnZ,
                    "Tilt" or "TiltRotate" => AxisMotion.TurnX,
                    "XYZ_Z" => AxisMotion.TravelZ,
                    _ => null,
                };
                if (motion is { } m && (nodes[c.Geometry].Axis is null || nodes[c.Geometry].Axis!.TopSpeed == 0))
                {
                    nodes[c.Geometry] = nodes[c.Geometry] with { Axis = Speed(m, f) };
                }
            }
        }

        return nodes;
    }

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
