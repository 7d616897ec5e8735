using System.Globalization;
using System.Xml.Linq;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Photometry;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>What a geometry element is: beam, laser, axis, or just a body. Defaults are those of DIN SPEC 15800.</summary>
internal static class GdtfParts
{
    private static readonly HashSet<string> Kinds = new(StringComparer.Ordinal)
    {
        "Geometry", "Axis", "FilterBeam", "FilterColor", "FilterGobo", "FilterShaper", "Beam", "MediaServerLayer", "MediaServerCamera",
        "MediaServerMaster", "Display", "GeometryReference", "Laser", "WiringObject", "Inventory", "Structure", "Support", "Magnet",
    };

    public static bool IsGeometry(string element) => Kinds.Contains(element);

    public static GeometryNode Fill(XElement e, GeometryNode node, BodyData? body, GdtfPhysical light, List<string> notUnderstood)
    {
        node = node with { Body = body };
        switch (e.Name.LocalName)
        {
            case "Beam":
                return node with { Beam = ReadBeam(e, light, notUnderstood) };
            case "Laser":
                return node with { Laser = ReadLaser(e, notUnderstood) };
            case "Geometry" or "Axis" or "FilterBeam" or "FilterColor" or "FilterGobo" or "FilterShaper" or "Inventory" or "Structure" or "Support" or "Magnet"
                or "WiringObject":
                return node;
            default:
                notUnderstood.Add($"geometry {e.Attr("Name")}: {e.Name.LocalName} is drawn but does nothing");
                return node;
        }
    }

    private static BeamData ReadBeam(XElement e, GdtfPhysical light, List<string> notUnderstood)
    {
        var type = e.Attr("BeamType", "Wash");
        var kind = type switch { "Spot" or "Rectangle" => BeamKind.Spot, "None" or "Glow" => BeamKind.Glow, _ => BeamKind.Wash };
        float Told(string name, float fallback, float least, float most, string unit)
        {
            var read = Positive(e, name, fallback);
            var taken = Math.Clamp(read, least, most);
            if (e.Attr(name).Length > 0 && GdtfValues.Number(e.Attr(name), 0) != taken)
            {
                notUnderstood.Add(string.Create(CultureInfo.InvariantCulture, $"beam {e.Attr("Name")}: {name} is {e.Attr(name)}; {taken} {unit} is taken"));
            }

            return taken;
        }

        var beam = Told("BeamAngle", 25, .05f, 179, "deg");
        var field = Told("FieldAngle", 25, .05f, 179, "deg");
        if (field < beam && e.Attr("FieldAngle").Length > 0)
        {
            notUnderstood.Add(string.Create(CultureInfo.InvariantCulture,
                $"beam {e.Attr("Name")}: its field angle of {field} deg is smaller than its beam angle; {beam} deg is taken for both"));
        }

        // Of a rectangle the throw ratio, distance by width, says the width's angle unless it was left at its default 1 beside a stated angle.
        var rectangle = type == "Rectangle";
        var thrown = GdtfValues.Number(e.Attr("ThrowRatio"), 1);
        if (rectangle && thrown > 0 && (thrown != 1 || e.Attr("BeamAngle").Length == 0))
        {
            var width = Math.Clamp(Angles.Degrees(2 * Trig.Atan(.5f / thrown)), .05f, 160);
            (beam, field) = (width, width * Math.Max(1, field / beam));
        }

        var ratio = rectangle ? Told("RectangleRatio", 1.7777f, .02f, 50, "") : 1;
        var radius = Told("BeamRadius", .05f, 1e-5f, 100, "m");
        var named = e.Attr("EmitterSpectrum");
        var source = light.Source(named);
        if (named.Length > 0 && source is null)
        {
            notUnderstood.Add($"beam {e.Attr("Name")}: there is no emitter {named}; its colour temperature is used");
        }

        return new BeamData
        {
            Kind = kind,
            LuminousFlux = Told("LuminousFlux", 10_000, 1e-3f, 1e9f, "lm"),
            BeamAngle = Angles.Radians(beam),
            FieldAngle = Angles.Radians(Math.Max(beam, field)),
            Form = rectangle ? BeamForm.Rectangle : BeamForm.Round,
            BeamAngleUp = !rectangle ? 0 : 2 * Trig.Atan(Trig.Tan(Angles.Radians(beam) / 2) / ratio),
            LensRadius = radius,
            ColourTemperature = Told("ColorTemperature", 6000, 1000, 20000, "K"),
            Source = source,
            GlobeRadius = kind == BeamKind.Glow ? radius : 0,
        };
    }

    private static LaserData ReadLaser(XElement e, List<string> notUnderstood)
    {
        var single = e.Attr("ColorType", "RGB") != "RGB";
        if (e.Elements("Protocol").Any())
        {
            notUnderstood.Add($"laser {e.Attr("Name")}: its control protocols are not read");
        }

        var min = Positive(e, "BeamDivergenceMin", 1);
        return new LaserData
        {
            PowerWatts = Positive(e, "OutputStrength", 1),
            Wavelengths = single ? [Math.Clamp(Positive(e, "Color", 532), 380, 780)] : [638, 520, 450],
            PowerShares = single ? [1] : [1f / 3, 1f / 3, 1f / 3],
            ApertureMetres = Positive(e, "BeamDiameter", .004f),
            DivergenceRadians = min / 1000,
        };
    }

    private static float Positive(XElement e, string name, float fallback)
    {
        var v = GdtfValues.Number(e.Attr(name), fallback);
        return v > 0 ? v : fallback;
    }
}
