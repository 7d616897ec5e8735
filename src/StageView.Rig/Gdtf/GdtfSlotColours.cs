using System.Numerics;
using System.Xml.Linq;
using StageView.Rig.Archives;

namespace StageView.Rig.Gdtf;

/// <summary>
/// Colours of a wheel's slots (DIN SPEC 15800, Wheel Slot, Color: x, y and Y of 0 to 100). A wheel that is dark on every slot has its Y left at 0 or written
/// as a share of 1; that is told, and the colours are taken as they must be meant.
/// </summary>
internal sealed class GdtfSlotColours
{
    private readonly float _scale;

    public GdtfSlotColours(XElement wheel, List<string> notUnderstood)
    {
        var most = wheel.Elements("Slot").Select(s => GdtfValues.Colour(s.Attr("Color"))).Where(c => c is not null).Select(c => c!.Value.Luminance)
            .DefaultIfEmpty(100).Max();
        _scale = most > 1 ? 1 : most > 0 ? 100 : 0;
        if (_scale == 100)
        {
            notUnderstood.Add($"wheel {wheel.Attr("Name")}: its colours have a Y of at most 1; it is taken as a share instead of percent");
        }
        else if (_scale == 0)
        {
            notUnderstood.Add($"wheel {wheel.Attr("Name")}: its colours have a Y of 0; the brightest of each x, y is taken");
        }
    }

    /// <summary>Linear Rec.709 transmission; open where the slot states no colour.</summary>
    public Vector3 Of(XElement slot)
    {
        if (GdtfValues.Colour(slot.Attr("Color")) is not { } c)
        {
            return Vector3.One;
        }

        if (_scale > 0)
        {
            return GdtfValues.Transmission(c with { Luminance = c.Luminance * _scale });
        }

        var pure = GdtfValues.Transmission(c with { Luminance = 100 });
        return pure / Math.Max(1e-3f, Math.Max(pure.X, Math.Max(pure.Y, pure.Z)));
    }
}
