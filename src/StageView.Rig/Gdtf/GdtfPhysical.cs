using System.Numerics;
using System.Xml.Linq;
using StageView.Light.Colour;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>PhysicalDescriptions of a fixture type: emitters, filters, colour spaces, gamuts, DMX profiles.</summary>
internal sealed class GdtfPhysical
{
    private readonly Dictionary<string, Vector2[]> _gamuts = new(StringComparer.Ordinal);
    private readonly Dictionary<string, CubicCurve> _profiles = new(StringComparer.Ordinal);
    private readonly Dictionary<string, LightSource> _sources;

    public GdtfPhysical(XElement type, List<string> notUnderstood)
    {
        var physical = type.Element("PhysicalDescriptions");
        (Emitters, _sources) = GdtfEmitters.Read(physical?.Element("Emitters"), notUnderstood);
        Filters = new GdtfFilters(OwnLight(type), notUnderstood).Read(physical?.Element("Filters"));
        foreach (var s in (physical?.Elements("ColorSpace") ?? []).Concat(physical?.Element("AdditionalColorSpaces")?.Elements("ColorSpace") ?? []))
        {
            if (Space(s) is { } read)
            {
                Spaces.Add(read);
            }
            else
            {
                notUnderstood.Add(
                    $"colour space {s.Attr("Name", "Default")} (line {s.Line()}): its mode {s.Attr("Mode", "sRGB")} or its primaries can't be used");
            }
        }

        HasMainSpace = physical?.Element("ColorSpace") is not null;
        foreach (var g in physical?.Element("Gamuts")?.Elements("Gamut") ?? [])
        {
            var n = GdtfValues.Numbers(g.Attr("Points"), 3 * 256);
            if (n is { Length: >= 9 } && n.Length % 3 == 0)
            {
                _gamuts.TryAdd(g.Attr("Name"), [.. Enumerable.Range(0, n.Length / 3).Select(i => new Vector2(n[3 * i], n[(3 * i) + 1]))]);
            }
            else
            {
                notUnderstood.Add($"gamut {g.Attr("Name")} (line {g.Line()}): its Points are not three or more colours x, y, Y");
            }
        }

        foreach (var p in physical?.Element("DMXProfiles")?.Elements().Where(e => e.Name.LocalName.Equals("DMXProfile", StringComparison.OrdinalIgnoreCase))
            ?? [])
        {
            if (GdtfProfiles.Read(p) is { } curve)
            {
                _profiles.TryAdd(p.Attr("Name"), curve);
            }
            else
            {
                notUnderstood.Add($"DMX profile {p.Attr("Name")} (line {p.Line()}): its points give no response between 0 and 100 %; functions stay linear");
            }
        }
    }

    public List<Emitter> Emitters { get; }

    public List<FilterData> Filters { get; }

    public List<ColourSpace> Spaces { get; } = [];

    /// <summary>Whether the file states a main colour space, which is then <see cref="Spaces"/>' first.</summary>
    public bool HasMainSpace { get; }

    public LightSource? Source(string emitter) => _sources.GetValueOrDefault(emitter);

    public IReadOnlyList<Vector2>? Gamut(string name) => _gamuts.GetValueOrDefault(name);

    public CubicCurve? Profile(string name) => _profiles.GetValueOrDefault(name);

    /// <summary>The light of the file's first beam: its emitter's spectrum, else black-body light of its temperature.</summary>
    private float[] OwnLight(XElement type)
    {
        var beam = type.Descendants("Beam").FirstOrDefault();
        return Source(beam?.Attr("EmitterSpectrum") ?? "")?.Bands
            ?? Spectra.PlanckianBands(Math.Clamp(GdtfValues.Number(beam?.Attr("ColorTemperature") ?? "", 6000), 1000, 20000));
    }

    /// <summary>Table "Predefined Modes for Color Space Attribute Mode" of DIN SPEC 15800.</summary>
    private static ColourSpace? Space(XElement s)
    {
        Vector2? Own(string name) => GdtfValues.Colour(s.Attr(name)) is { } c ? new Vector2(c.X, c.Y) : null;
        var name = s.Attr("Name", "Default");
        return s.Attr("Mode", "sRGB") switch
        {
            "sRGB" => ColourSpace.Of(name, new(.64f, .33f), new(.3f, .6f), new(.15f, .06f), new(.3127f, .3290f)),
            "ProPhoto" => ColourSpace.Of(name, new(.7347f, .2653f), new(.1596f, .8404f), new(.0366f, .0001f), new(.3457f, .3585f)),
            "ANSI" => ColourSpace.Of(name, new(.7347f, .2653f), new(.1596f, .8404f), new(.0366f, .001f), new(.4254f, .4044f)),
            "Custom" when Own("Red") is { } r && Own("Green") is { } g && Own("Blue") is { } b =>
                ColourSpace.Of(name, r, g, b, Own("WhitePoint") ?? new Vector2(.3127f, .3290f)),
            _ => null,
        };
    }
}
