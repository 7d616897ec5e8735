using System.Globalization;

namespace StageView.Render.Layout;

/// <summary>The files of <c>layout/</c> that shaders include: made from the structs of this folder, which fill the tables and buffers.</summary>
internal static class ShaderLayouts
{
    /// <summary>Tables of rows: struct, what its columns begin with, and the sampler.</summary>
    public static IReadOnlyList<(string File, Type Type, string Name, string Table)> Tables { get; } =
    [
        ("layout/beam.glsl", typeof(BeamRows), "beam", "beamRows"),
        ("layout/corner.glsl", typeof(HullCorner), "corner", "cornerRows"),
        ("layout/caster.glsl", typeof(CasterRows), "caster", "sourceRows"),
        ("layout/emptytile.glsl", typeof(EmptyTileRows), "emptyTile", "sourceRows"),
        ("layout/source.glsl", typeof(SourceRows), "source", "sourceRows"),
        ("layout/surface.glsl", typeof(SurfaceRows), "surface", "sourceRows"),
        ("layout/matt.glsl", typeof(MattRows), "matt", "mattRows"),
        ("layout/laser.glsl", typeof(LaserRows), "laser", "sourceRows"),
    ];

    /// <summary>Structs that storage buffers are arrays of, with their names in shaders.</summary>
    public static IReadOnlyList<(string Name, Type Type)> Structs { get; } =
        [("Hull", typeof(HullRow)), ("HullCorner", typeof(HullCorner)), ("Outline", typeof(HullOutline)), ("Tile", typeof(TileSpan))];

    private static readonly Dictionary<string, string> Texts = Make();

    /// <summary>Text of a file, or null for one that is not made here.</summary>
    public static string? Of(string file) => Texts.GetValueOrDefault(file);

    private static Dictionary<string, string> Make()
    {
        var texts = Tables.ToDictionary(t => t.File, t => ShaderStruct.Rows(t.Type, t.Name, t.Table));
        texts["layout/view.glsl"] = $"layout(std140) uniform View {{\n{ShaderStruct.Members(typeof(ViewUniforms))}}};\n";
        texts["layout/tiles.glsl"] = string.Create(CultureInfo.InvariantCulture, $"#define TILE {TileGrid.Side}\n") + ShaderStruct.Bindings<TileBuffer>()
            + string.Concat(Structs.Select(s => $"struct {s.Name} {{\n{ShaderStruct.Members(s.Type)}}};\n"));
        return texts;
    }
}
