using Silk.NET.OpenGL;

namespace StageView.Render.Resources;

/// <summary>Texture units by sampler name, the same in every shader. 16 units are what OpenGL 4.1 promises a fragment shader.</summary>
internal static class Slots
{
    public const int ViewUniforms = 0;

    public const int BeamRows = 0;
    public const int BeamEdges = 1;
    public const int DistanceMap = 2;
    public const int AlbedoMap = 3;
    public const int NormalMap = 4;
    public const int ShadowAtlas = 5;
    public const int RadianceMap = 6;
    public const int HazeMap = 7;
    public const int MirrorMap = 8;
    public const int GoboImages = 9;
    public const int PixelRows = 10;
    public const int HazePatches = 11;
    public const int HazeDistance = 12;
    public const int BloomMap = 13;
    public const int WebImage = 14;
    public const int SourceRows = 15;

    /// <summary>An array of pictures beside <see cref="RadianceMap"/>, which nothing reads while surfaces are drawn: all units are taken.</summary>
    public const int PaintImages = RadianceMap;

    /// <summary>A table beside <see cref="BloomMap"/>, a picture.</summary>
    public const int MattRows = BloomMap;

    /// <summary>A table that is bound anew for each pass, as <see cref="SourceRows"/> are.</summary>
    public const int FillRows = SourceRows;

    /// <summary>A picture beside <see cref="PixelRows"/>, a table.</summary>
    public const int GlossShares = PixelRows;

    private static readonly (string Name, int Unit)[] Samplers =
    [
        ("beamRows", BeamRows), ("beamEdges", BeamEdges), ("distanceMap", DistanceMap), ("albedoMap", AlbedoMap), ("normalMap", NormalMap),
        ("shadowAtlas", ShadowAtlas), ("radianceMap", RadianceMap), ("hazeMap", HazeMap), ("mirrorMap", MirrorMap), ("goboImages", GoboImages),
        ("pixelRows", PixelRows), ("hazePatches", HazePatches), ("hazeDistance", HazeDistance), ("bloomMap", BloomMap), ("webTable", WebImage),
        ("sourceRows", SourceRows), ("paintImages", PaintImages), ("mattRows", MattRows), ("glossShares", GlossShares),
        ("fillRows", FillRows),
    ];

    public static void Bind(GL gl, uint program)
    {
        gl.UseProgram(program);
        foreach (var (name, unit) in Samplers)
        {
            var location = gl.GetUniformLocation(program, name);
            if (location >= 0)
            {
                gl.Uniform1(location, unit);
            }
        }

        var block = gl.GetUniformBlockIndex(program, "View");
        if (block != uint.MaxValue)
        {
            gl.UniformBlockBinding(program, block, ViewUniforms);
        }
    }
}
