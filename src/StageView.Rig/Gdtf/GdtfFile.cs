using System.Numerics;
using System.Xml.Linq;
using StageView.Ground.Files;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Gobos;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Gdtf;

/// <summary>Reads GDTF archives (DIN SPEC 15800) into fixture profiles. The archive is not trusted.</summary>
public static class GdtfFile
{
    private const string Description = "description.xml";

    internal static FixtureProfile? Read(string path, string shownAs, RigAssets assets, RigLoadOptions options, ProblemList problems)
    {
        if (BoundedFile.TryRead(path, ArchiveBudget.MaxEntryBytes, out var bytes, out var why))
        {
            return Read(bytes, shownAs, assets, options, problems, assets.Budget);
        }

        problems.Error(SourcePlace.WholeOf(shownAs), why);
        return null;
    }

    internal static FixtureProfile? Read(
        byte[] bytes, string shownAs, RigAssets assets, RigLoadOptions options, ProblemList problems, ArchiveBudget budget)
    {
        var before = problems.Errors;
        using var archive = SafeArchive.TryOpen(bytes, budget, out var why);
        if (archive is null)
        {
            problems.Error(SourcePlace.WholeOf(shownAs), why);
            return null;
        }

        var xml = archive.TryRead(Description, out why);
        var root = xml is null ? null : SafeXml.TryParse(xml, budget, out why);
        if (root is null)
        {
            problems.Error(Within(shownAs, 0), why);
            return null;
        }

        if (root.Name.LocalName != "GDTF" || root.Element("FixtureType") is not { } type)
        {
            problems.Error(Within(shownAs, root.Line()), "is not a GDTF description: its root should be GDTF with a FixtureType");
            return null;
        }

        if (!GdtfCounts.Check(type, shownAs, problems))
        {
            return null;
        }

        GdtfNames.Settle(type);
        var notUnderstood = new List<string>();
        GdtfLeftOut.List(type, notUnderstood);
        var physical = type.Element("PhysicalDescriptions");
        var light = new GdtfPhysical(type, notUnderstood);
        var goboWheels = type.Descendants("ChannelFunction")
            .Where(f => f.Attr("Attribute").StartsWith("Gobo", StringComparison.OrdinalIgnoreCase)
                || f.Attr("Attribute").StartsWith("AnimationWheel", StringComparison.OrdinalIgnoreCase)).Select(f => f.Attr("Wheel")).ToHashSet();
        var wheels = type.Element("Wheels")?.Elements("Wheel")
            .Select(w => ReadWheel(w, goboWheels.Contains(w.Attr("Name")), light, archive, assets, options, shownAs, notUnderstood)).ToList() ?? [];
        var models = new GdtfModels(archive, assets, options.DecodeImage, shownAs, notUnderstood).Read(type.Element("Models"));
        var subUnits = new GdtfSubUnits(type);
        var modes = new GdtfModes();
        foreach (var mode in (type.Element("DMXModes")?.Elements("DMXMode") ?? []).TakeWhile(_ => !budget.IsSpent))
        {
            var own = new ProblemList();
            var tree = new GdtfGeometry(type.Element("Geometries"), models, light, shownAs, notUnderstood, budget, own).Expand(mode);
            var made = tree is null ? null : new GdtfChannels(tree, wheels, light, subUnits, shownAs, notUnderstood, budget, own).Read(mode);
            modes.Add(mode, own, made, notUnderstood);
            // What is too much for all is no fault of one mode.
            foreach (var p in budget.IsSpent ? own.ToList() : [])
            {
                problems.Add(p);
            }
        }

        if (problems.Errors == before)
        {
            modes.Tell(Within(shownAs, type.Line()), problems);
        }

        return problems.Errors > before ? null : new FixtureProfile
        {
            Name = type.Attr("Name") is { Length: > 0 } name ? name : Path.GetFileNameWithoutExtension(shownAs),
            File = shownAs,
            Modes = modes.Modes,
            RefusedModes = modes.Refused,
            Wheels = wheels,
            Emitters = light.Emitters,
            Filters = light.Filters,
            ColourSpaces = light.Spaces,
            WeightKilograms = Property(physical, "Weight"),
            PowerWatts = Property(physical, "PowerConsumption") ?? BeamPower(type),
            NotUnderstood = GdtfCounts.Shortened(notUnderstood),
        };
    }

    /// <summary>A line of the archive's description; 0 for none.</summary>
    internal static SourcePlace Within(string file, int line) => new(file, line, SourcePath.Entry(Description));

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
        XElement wheel, bool gobos, GdtfPhysical light, SafeArchive archive, RigAssets assets, RigLoadOptions options, string file, List<string> notUnderstood)
    {
        var slots = new List<WheelSlot>();
        var colours = new GdtfSlotColours(wheel, notUnderstood);
        foreach (var s in wheel.Elements("Slot"))
        {
            var colour = colours.Of(s);
            var facets = s.Elements("Facet").ToList();
            var spread = facets.Select(f => GdtfValues.Matrix(f.Attr("Rotation")) is { } turn
                ? Trig.Acos(Math.Clamp(turn.TransformDirection(Vector3.UnitZ).Z, -1, 1)) : 0).DefaultIfEmpty(0).Max();
            var gobo = 0;
            if (s.Attr("MediaFileName") is { Length: > 0 } media && gobos)
            {
                gobo = ReadMedia(media, archive, assets, options, file, notUnderstood);
            }

            else if (s.Attr("MediaFileName").Length > 0)
            {
                notUnderstood.Add($"wheel {wheel.Attr("Name")}, slot {s.Attr("Name")}: its picture is not used, no gobo channel turns this wheel");
            }

            if (s.Attr("Filter") is { Length: > 0 } named)
            {
                if (light.Filters.Find(f => f.Name == named) is { } filter)
                {
                    colour = filter.Colour;
                }
                else
                {
                    notUnderstood.Add($"wheel {wheel.Attr("Name")}, slot {s.Attr("Name")}: there is no filter {named}; its Color is used");
                }
            }

            if (s.Element("AnimationSystem") is not null)
            {
                notUnderstood.Add($"wheel {wheel.Attr("Name")}, slot {s.Attr("Name")}: the path of its animation is not read; its picture "
                    + "turns beside the beam");
            }

            spread = spread > 1e-4f ? spread : facets.Count > 0 ? Angles.Radians(5) : 0;
            slots.Add(new WheelSlot(s.Attr("Name"), colour, gobo, facets.Count, spread) { Facets = Facets(facets, spread) });
        }

        return new Wheel(wheel.Attr("Name"), slots);
    }

    /// <summary>What each facet does; nothing where none says how it turns. A turn tips the beam, which looks along -z, away from where it tips z.</summary>
    private static PrismFacet[] Facets(List<XElement> facets, float spread)
    {
        var tips = facets.Select(f => GdtfValues.Matrix(f.Attr("Rotation"))?.TransformDirection(-Vector3.UnitZ) ?? -Vector3.UnitZ).ToList();
        var still = tips.TrueForAll(t => t.Z < -.99999999f);
        return [.. facets.Select((f, i) => new PrismFacet(
            still ? MathF.Tau * i / facets.Count : Trig.Atan2(tips[i].Y, tips[i].X),
            still ? spread : Trig.Acos(Math.Clamp(-tips[i].Z, -1, 1)),
            GdtfValues.Colour(f.Attr("Color")) is { } c ? GdtfValues.Transmission(c) : Vector3.One))];
    }

    private static int ReadMedia(
        string media, SafeArchive archive, RigAssets assets, RigLoadOptions options, string file, List<string> notUnderstood)
    {
        // The name has no folder and no ending (DIN SPEC 15800, Wheel Slot, MediaFileName); files have both.
        var stem = GdtfModels.Bare(media, "png", "jpg", "jpeg", "svg");
        var entry = archive.Find($"wheels/{stem}.png") ?? archive.Find($"wheels/{stem}.jpg") ?? archive.Find($"wheels/{stem}.jpeg");
        if (entry is null)
        {
            notUnderstood.Add(archive.Find($"wheels/{stem}.svg") is { } drawing ? $"{drawing}: drawings are not read; the slot stays open"
                : $"wheels/{stem}.png is not in the archive: the slot stays open");
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
            if (bytes is not null && assets.TryDecode(options.DecodeImage, bytes, out var size, out var rgb, out why))
            {
                return GoboPatterns.Of(stem, size, rgb);
            }

            notUnderstood.Add($"{entry}: {why}; the slot stays open");
            return null;
        });
    }
}
