using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Gdtf;

namespace StageView.Rig.Mvr;

/// <summary>A picture that fixtures show parts of (DIN SPEC 15801, MappingDefinition).</summary>
/// <param name="Name">Its name.</param>
/// <param name="Width">SizeX: pixels of the picture that the mappings count in; 0 where none is stated.</param>
/// <param name="Height">SizeY.</param>
/// <param name="Type">Where the picture comes from: File, NDI, CITP, CaptureDevice; empty without a Source.</param>
/// <param name="Source">The file in the archive, or the stream's or device's name.</param>
/// <param name="Scale">ScaleHandeling, as the standard spells it, or ScaleHandling: how a source of another size lies in it.</param>
internal sealed record MvrMappingSource(string Name, float Width, float Height, string Type, string Source, string Scale)
{
    /// <summary>The scaling that holds where none is written.</summary>
    public const string KeepRatio = "ScaleKeepRatio";

    public const string IgnoreRatio = "ScaleIgnoreRatio";

    public const string KeepSize = "KeepSizeCenter";

    /// <summary>A million pixels a side.</summary>
    private const float Most = 1e6f;

    public static MvrMappingSource Read(XElement e)
    {
        var source = e.Element("Source");
        return new MvrMappingSource(
            e.Attr("name"), Size(e, "SizeX"), Size(e, "SizeY"), source?.Attr("type", "File") ?? "", source?.Value.Trim() ?? "",
            (e.Element("ScaleHandeling") ?? e.Element("ScaleHandling"))?.Value.Trim() is { Length: > 0 } scale ? scale : KeepRatio);
    }

    private static float Size(XElement e, string name) => Math.Clamp(GdtfValues.Number(e.Element(name)?.Value ?? "", 0), 0, Most);
}

/// <summary>The part of a source that a fixture shows (DIN SPEC 15801, Mapping: ux and uy are where it begins, ox and oy how large it is).</summary>
/// <param name="Of">Identity of the source.</param>
/// <param name="X">ux: pixels from the source's left edge.</param>
/// <param name="Y">uy: pixels from its top edge.</param>
/// <param name="Width">ox: pixels; 0 where none is stated.</param>
/// <param name="Height">oy: pixels; 0 where none is stated.</param>
/// <param name="Turn">rz: degrees that the part is turned about its middle, counter-clockwise.</param>
internal sealed record MvrMapping(string Of, float X, float Y, float Width, float Height, float Turn)
{
    private const float Most = 1e6f;

    public static IReadOnlyList<MvrMapping> All(XElement fixture) =>
    [
        .. (fixture.Element("Mappings")?.Elements("Mapping") ?? []).Select(m =>
        {
            float Of(string name) => Math.Clamp(GdtfValues.Number(m.Element(name)?.Value ?? "", 0), -Most, Most);
            return new MvrMapping(m.Attr("linkedDef"), Of("ux"), Of("uy"), Math.Max(0, Of("ox")), Math.Max(0, Of("oy")), Of("rz"));
        }),
    ];
}
