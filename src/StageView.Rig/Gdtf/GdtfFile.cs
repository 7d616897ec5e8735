using System.Numerics;
using System.Xml.Linq;
using StageView.Light;

namespace StageView.Rig;

/// <summary>Reads GDTF archives (DIN SPEC 15800) into fixture profiles. The archive is not trusted.</summary>
public static class GdtfFile
{
    private const string Description = "description.xml";

    internal static FixtureProfile? Read(string path, string shownAs, RigAssets assets, RigLoadOptions options, ProblemList problems)
    {
        try
        {
            if (new FileInfo(path).Length > ArchiveBudget.MaxEntryBytes)
            {
                problems.Error(shownAs, 0, "", $"larger than {ArchiveBudget.MaxEntryBytes >> 20} MiB");
                return null;
            }

            return Read(File.ReadAllBytes(path), shownAs, assets, options, problems, new ArchiveBudget());
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            problems.Error(shownAs, 0, "", $"can't be read: {e.Message}");
            return null;
        }
    }

    internal static FixtureProfile? Read(
        byte[] bytes, string shownAs, RigAssets assets, RigLoadOptions options, ProblemList problems, ArchiveBudget budget)
    {
        var before = problems.Errors;
        using var archive = SafeArchive.TryOpen(bytes, budget, out var why);
        if (archive is null)
        {
            problems.Error(shownAs, 0, "", why);
            return null;
        }

        var xml = archive.TryRead(Description, out why);
        var root = xml is null ? null : SafeXml.TryParse(xml, out why);
        if (root is null)
        {
            problems.Error(shownAs, 0, Description, why);
            return null;
        }

        if (root.Name.LocalName != "GDTF" || root.Element("FixtureType") is not { } type)
        {
            problems.Error(shownAs, root.Line(), Description, "is not a GDTF description: its root should be GDTF with a FixtureType");
            return null;
        }

        var notUnderstood = new List<string>();
        ListLeftOut(type, notUnderstood);
        var physical = type.Element("PhysicalDescriptions");
        var goboWheels = type.Descendants("ChannelFunction")
            .Where(f => f.Attr("Attribute").StartsWith("Gobo", StringComparison.OrdinalIgnoreCase)).Select(f => f.Attr("Wheel")).ToHashSet();
        var wheels = type.Element("Wheels")?.Elements("Wheel")
            .Select(w => ReadWheel(w, goboWheels.Contains(w.Attr("Name")), archive, assets, options, shownAs, notUnderstood)).ToList() ?? [];
        var emitters = ReadEmitters(physical?.Element("Emitters"), notUnderstood);
        var models = new GdtfModels(archive, assets, shownAs, notUnderstood).Read(type.Element("Models"));
        var modes = new List<FixtureMode>();
        foreach (var mode in type.Element("DMXModes")?.Elements("DMXMode") ?? [])
        {
            var tree = new GdtfGeometry(type.Element("Geometries"), models, shownAs, notUnderstood, problems).Expand(mode);
            if (tree is not null)
            {
                modes.Add(new GdtfChannels(tree, wheels, emitters, shownAs, notUnderstood, problems).Read(mode));
            }
        }

        if (modes.Count == 0 && problems.Errors == before)
        {
            problems.Error(shownAs, type.Line(), Description, "has no DMX mode");
        }

        return problems.Errors > before ? null : new FixtureProfile
        {
            Name = type.Attr("Name") is { Length: > 0 } name ? name : Path.GetFileNameWithoutExtension(shownAs),
            File = shownAs,
            Modes = modes,
            Wheels = wheels,
            Emitters = emitters,
            WeightKilograms = Property(physical, "Weight"),
            PowerWatts = Property(physical, "PowerConsumption") ?? BeamPower(type),
            NotUnderstood = [.. notUnderstood.Distinct()],
        };
    }

    private static float? Property(XElement? physical, string name)
    {
        var v = GdtfValues.Number(physical?.Element("Properties")?.Element(name)?.Attr("Value") ?? "", 0);
        return v > 0 ? v : null;
    }

    private static float? BeamPower(XElement type)
    {
        var sum = type.Descendants("Beam").Sum(b => GdtfValues.Number(b.Attr("PowerConsumption"), 0));
        return sum > 0 ? sum : null;
    }

    private static Wheel ReadWheel(
        XElement wheel, bool gobos, SafeArchive archive, RigAssets assets, RigLoadOptions options, string file, List<string> notUnderstood)
    {
        var slots = new List<WheelSlot>();
        foreach (var s in wheel.Elements("Slot"))
        {
            var colour = s.Attribute("Color") is { } c && GdtfValues.Colour(c.Value) is { } xyy ? GdtfValues.Transmission(xyy) : Vector3.One;
            var facets = s.Elements("Facet").ToList();
            var spread = facets.Select(f => GdtfValues.Matrix(f.Attr("Rotation")) is { } turn
                ? MathF.Acos(Math.Clamp(turn.TransformDirection(Vector3.UnitZ).Z, -1, 1)) : 0).DefaultIfEmpty(0).Max();
            var gobo = 0;
            if (s.Attr("MediaFileName") is { Length: > 0 } media && gobos)
            {
                gobo = ReadMedia(media, archive, assets, options, file, notUnderstood);
            }

            if (s.Element("AnimationSystem") is not null || s.Attr("Filter").Length > 0)
            {
                notUnderstood.Add($"wheel {wheel.Attr("Name")}, slot {s.Attr("Name")}: its filter or animation is not simulated");
            }

            slots.Add(new WheelSlot(s.Attr("Name"), colour, gobo, facets.Count, spread > 1e-4f ? spread : facets.Count > 0 ? Angles.Radians(5) : 0));
        }

        return new Wheel(wheel.Attr("Name"), slots);
    }

    private static int ReadMedia(
        string media, SafeArchive archive, RigAssets assets, RigLoadOptions options, string file, List<string> notUnderstood)
    {
        var entry = $"wheels/{media}.png";
        if (!archive.Has(entry))
        {
            notUnderstood.Add($"{entry} is not in the archive: the slot stays open");
            return 0;
        }

        if (options.DecodeImage is null)
        {
            notUnderstood.Add($"{entry}: images can't be read here; the slot stays open");
            return 0;
        }

        return assets.Gobo($"{file}:{entry}", () =>
        {
            var bytes = archive.TryRead(entry, out var why);
            if (bytes is not null && options.DecodeImage(bytes, out var size, out var rgb, out why))
            {
                return GoboPatterns.Of(media, size, rgb);
            }

            notUnderstood.Add($"{entry}: {why}; the slot stays open");
            return null;
        });
    }

    private static List<Emitter> ReadEmitters(XElement? emitters, List<string> notUnderstood)
    {
        var read = new List<(string Name, float X, float Y, float Luminance)>();
        foreach (var e in emitters?.Elements("Emitter") ?? [])
        {
            if (e.Attribute("Color") is { } c && GdtfValues.Colour(c.Value) is { } xyy)
            {
                read.Add((e.Attr("Name"), xyy.X, xyy.Y, Math.Max(0, xyy.Luminance)));
            }
            else
            {
                notUnderstood.Add($"emitter {e.Attr("Name")}: it has no Color (x, y, Y); taken as white");
                read.Add((e.Attr("Name"), .3127f, .329f, 100));
            }

            if (e.HasElements)
            {
                notUnderstood.Add($"emitter {e.Attr("Name")}: measured spectra are not read, its Color is used");
            }
        }

        var sum = read.Sum(e => e.Luminance);
        return [.. read.Select(e => new Emitter(e.Name, e.X, e.Y, sum > 0 ? e.Luminance / sum : 1f / read.Count))];
    }

    private static void ListLeftOut(XElement type, List<string> notUnderstood)
    {
        var physical = type.Element("PhysicalDescriptions");
        foreach (var (holder, name, says) in ((XElement?, string, string)[])[
            (physical, "Filters", "filters"), (physical, "DMXProfiles", "DMX profiles"), (physical, "CRIs", "colour rendering indices"),
            (physical, "Gamuts", "gamuts"), (physical, "AdditionalColorSpaces", "additional colour spaces"),
            (type, "FTPresets", "presets"), (type, "Protocols", "protocols")])
        {
            if (holder?.Element(name) is { HasElements: true } e)
            {
                notUnderstood.Add($"{says} (line {e.Line()}): not simulated");
            }
        }

        if (physical?.Element("ColorSpace") is { } space && space.Attr("Mode", "sRGB") != "sRGB")
        {
            notUnderstood.Add($"colour space {space.Attr("Mode")}: ColorRGB attributes are taken as sRGB");
        }

        foreach (var macros in type.Descendants("FTMacros").Where(m => m.HasElements))
        {
            notUnderstood.Add($"macros (line {macros.Line()}): not simulated");
        }
    }
}
