using System.Globalization;
using System.IO.Compression;
using System.Numerics;
using System.Security.Cryptography;
using System.Text;
using System.Xml;
using System.Xml.Linq;
using StageView.Ground.Numbers;
using StageView.Ground.Png;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>Writes a fixture profile of ours as a GDTF archive, so that other programs know the fixture; says what the format can't hold.</summary>
public static class GdtfWriter
{
    /// <param name="profile">The profile.</param>
    /// <param name="rig">The rig whose meshes and gobos it refers to.</param>
    /// <param name="notes">What could not be put in, one line each.</param>
    public static byte[] Write(FixtureProfile profile, RigScene rig, out IReadOnlyList<string> notes)
    {
        ArgumentNullException.ThrowIfNull(profile);
        ArgumentNullException.ThrowIfNull(rig);
        var told = new List<string>();
        var tree = new GdtfTreeWriter(rig, told);
        var modes = new XElement("DMXModes");
        foreach (var mode in profile.Modes)
        {
            var (names, pixels) = tree.Add(mode, profile.Modes.Count > 1 ? mode.Name + " " : "", Writable(mode));
            modes.Add(new GdtfChannelWriter(profile, mode, names, told).Write(pixels));
        }

        if (profile.Wheels.Any(w => w.Slots.Any(s => s.Scan > 0)) || profile.Modes.Any(m => m.Geometry.Any(n => n.Laser is { Scan: > 0 })))
        {
            told.Add("figures of lasers are not written: their beams stand still in the file");
        }

        using var memory = new MemoryStream();
        using (var zip = new ZipArchive(memory, ZipArchiveMode.Create, leaveOpen: true))
        {
            var wheels = Wheels(profile, rig, zip);
            var id = new Guid(SHA256.HashData(Encoding.UTF8.GetBytes("StageView fixture type " + profile.Name))[..16]);
            var root = new XElement("GDTF", new XAttribute("DataVersion", "1.2"), new XElement(
                "FixtureType",
                new XAttribute("Name", GdtfText.Name(profile.Name)), new XAttribute("ShortName", GdtfText.Name(profile.Name)),
                new XAttribute("LongName", GdtfText.Name(profile.Name)),
                new XAttribute("Manufacturer", "StageView"), new XAttribute("Description", ""),
                new XAttribute("FixtureTypeID", id.ToString("D").ToUpperInvariant()), new XAttribute("Thumbnail", ""), new XAttribute("RefFT", ""),
                Attributes(profile), wheels, Physical(profile), tree.Models, tree.Geometries, modes, new XElement("Revisions"), new XElement("FTPresets"),
                new XElement("Protocols")));
            using (var to = zip.CreateEntry("description.xml").Open())
            using (var writer = XmlWriter.Create(to, new XmlWriterSettings { Indent = true, NewLineChars = "\n", Encoding = new UTF8Encoding(false) }))
            {
                root.WriteTo(writer);
            }

            foreach (var (name, bytes) in tree.Files)
            {
                Put(zip, $"models/3ds/{name}.3ds", bytes);
            }
        }

        notes = [.. told.Distinct()];
        return memory.ToArray();
    }

    /// <summary>Blocks whose pixels all lie within their break's 512 addresses and share none with a channel.</summary>
    private static List<PixelBlock> Writable(FixtureMode mode)
    {
        var taken = mode.Channels.SelectMany(c => c.Offsets.Select(o => (c.Break, o))).ToHashSet();
        return [.. mode.PixelBlocks.Where(b => mode.Geometry[b.Geometry].Pixels is { } g
            && b.FirstOffset + (g.Columns * g.Rows * b.Order.Length * b.BytesPerComponent) - 1 <= 512
            && !Enumerable.Range(b.FirstOffset, g.Columns * g.Rows * b.Order.Length * b.BytesPerComponent).Any(o => taken.Contains((b.Break, o))))];
    }

    private static XElement Wheels(FixtureProfile profile, RigScene rig, ZipArchive zip)
    {
        var written = new HashSet<int>();
        XElement Slot(WheelSlot s)
        {
            if (s.GoboImage > 0 && written.Add(s.GoboImage))
            {
                var image = rig.GoboImages[s.GoboImage - 1];
                Put(zip, string.Create(CultureInfo.InvariantCulture, $"wheels/gobo{s.GoboImage}.png"),
                    PngChunks.Rgb(image.Size, image.Size, [.. image.Rgb.Select(Srgb)]));
            }

            return new XElement(
                "Slot", new XAttribute("Name", GdtfText.Name(s.Name)), new XAttribute("Color", GdtfText.Colour(s.Colour)),
                new XAttribute("MediaFileName", s.GoboImage > 0 ? string.Create(CultureInfo.InvariantCulture, $"gobo{s.GoboImage}") : ""),
                Enumerable.Range(0, s.PrismFacets).Select(i => Facet(
                    s.Facets.Count > 0 ? s.Facets[i % s.Facets.Count] : new PrismFacet(MathF.Tau * i / s.PrismFacets, s.PrismSpread, Vector3.One))));
        }

        return new XElement("Wheels", profile.Wheels.Select(w => new XElement("Wheel", new XAttribute("Name", GdtfText.Name(w.Name)), w.Slots.Select(Slot))));
    }

    /// <summary>A turn about x tips what looks along -z towards +y.</summary>
    private static XElement Facet(PrismFacet facet) => new(
        "Facet", new XAttribute("Color", GdtfText.Colour(facet.Colour)),
        new XAttribute("Rotation", GdtfText.Rotation(Trig.Turn(Vector3.UnitZ, facet.AzimuthRadians - (MathF.PI / 2))
            * Trig.Turn(Vector3.UnitX, facet.TurnRadians))));

    /// <summary>A linear transmission as the picture's sRGB value (IEC 61966-2-1).</summary>
    private static byte Srgb(byte linear)
    {
        var v = linear / 255f;
        return (byte)MathF.Round(255 * (v <= .0031308f ? v * 12.92f : (1.055f * MathF.Pow(v, 1 / 2.4f)) - .055f));
    }

    private static XElement Physical(FixtureProfile profile)
    {
        static XElement Curve(string name, params (string, string)[] coefficients) =>
            new("DMXProfile", new XAttribute("Name", name),
                new XElement("Point", new XAttribute("DMXPercentage", "0"), coefficients.Select(c => new XAttribute(c.Item1, c.Item2))));
        return new XElement(
            "PhysicalDescriptions",
            new XElement("Emitters", profile.Emitters.Select(
                e => new XElement("Emitter", new XAttribute("Name", GdtfText.Name(e.Name)),
                    new XAttribute("Color", $"{GdtfText.Number(e.X)},{GdtfText.Number(e.Y)},{GdtfText.Number(100 * e.Share)}")))),
            new XElement("DMXProfiles", Curve("square", ("CFC2", "0.01")), Curve("s curve", ("CFC2", "0.03"), ("CFC3", "-0.0002"))),
            new XElement(
                "Properties",
                profile.WeightKilograms is { } w ? new XElement("Weight", new XAttribute("Value", GdtfText.Number(w))) : null,
                profile.PowerWatts is { } p ? new XElement("PowerConsumption", new XAttribute("Value", GdtfText.Number(p))) : null));
    }

    private static XElement Attributes(FixtureProfile profile)
    {
        string[] features = ["Dimmer.Dimmer", "Position.PanTilt", "Gobo.Gobo", "Color.Color", "Beam.Beam", "Focus.Focus", "Control.Control"];
        var pixels = profile.Modes.SelectMany(m => m.PixelBlocks).SelectMany(b => b.Order).Select(l => "ColorAdd_" + (l == 'A' ? "RY" : l.ToString()));
        var used = profile.Modes.SelectMany(m => m.Channels).SelectMany(c => c.Functions).Select(f => f.Attribute).Concat(pixels).Append("NoFeature")
            .Distinct();
        return new XElement(
            "AttributeDefinitions",
            new XElement("ActivationGroups"),
            new XElement("FeatureGroups", features.Select(f => f.Split('.'))
                .Select(f => new XElement("FeatureGroup", new XAttribute("Name", f[0]), new XAttribute("Pretty", f[0]),
                    new XElement("Feature", new XAttribute("Name", f[1]))))),
            new XElement("Attributes", used.Select(
                a => new XElement("Attribute", new XAttribute("Name", a), new XAttribute("Pretty", a), new XAttribute("Feature", features[Feature(a)]),
                    new XAttribute("PhysicalUnit", Unit(a))))));
    }

    private static int Feature(string attribute) => attribute switch
    {
        "Dimmer" => 0,
        _ when attribute.StartsWith("Pan", StringComparison.Ordinal) || attribute.StartsWith("Tilt", StringComparison.Ordinal)
            || attribute.StartsWith("XYZ", StringComparison.Ordinal) => 1,
        _ when attribute.StartsWith("Gobo", StringComparison.Ordinal) || attribute.StartsWith("Animation", StringComparison.Ordinal) => 2,
        _ when attribute.StartsWith("Color", StringComparison.Ordinal) || attribute.StartsWith("CT", StringComparison.Ordinal)
            || attribute.StartsWith("HSB", StringComparison.Ordinal) || attribute.StartsWith("CIE", StringComparison.Ordinal) || attribute == "Tint" => 3,
        _ when attribute.StartsWith("Zoom", StringComparison.Ordinal) || attribute.StartsWith("Focus", StringComparison.Ordinal) => 5,
        "NoFeature" => 6,
        _ when AttributeCatalog.UnitOf(attribute) is not null && !attribute.StartsWith("Control", StringComparison.Ordinal) => 4,
        _ => 6,
    };

    private static string Unit(string attribute) => AttributeCatalog.UnitOf(attribute) switch
    {
        "deg" => "Angle",
        "deg/s" => "AngularSpeed",
        "Hz" => "Frequency",
        "s" => "Time",
        "K" => "Temperature",
        "m" => "Length",
        _ => "None",
    };

    private static void Put(ZipArchive zip, string name, byte[] bytes)
    {
        using var to = zip.CreateEntry(name).Open();
        to.Write(bytes);
    }
}
