using StageView.Light.Interreflection;
using StageView.Render.Output;
using StageView.Render.Resources;

namespace StageView.Render.Settings;

/// <summary>How a picture is made; what it shows lies in the moment and the camera.</summary>
public sealed record RenderSettings
{
    /// <summary>Pixels, 16 to 8192.</summary>
    public int Width { get; init; } = 1280;

    /// <summary>Pixels, 16 to 8192.</summary>
    public int Height { get; init; } = 720;

    /// <summary>Even work light on every surface, lx, so that a blackout isn't a black picture; 0 for none.</summary>
    public float WorkLightLux { get; init; }

    /// <summary>What matt surfaces throw on each other in the moment, or in an earlier one with the same pieces of scenery; null leaves it out.</summary>
    public MattLight? Indirect { get; init; }

    /// <summary>How finely the light in the haze is worked out.</summary>
    public RenderQuality Quality { get; init; } = RenderQuality.Normal;

    /// <summary>Haze at every pixel (1), every second (2) or fourth (4) of each row and column; 0 lets the quality say: 2 for a draft, else 1.</summary>
    public int HazeScale { get; init; }

    /// <summary>
    /// For a picture that moves on a rasteriser on the CPU: light of beams at every fourth pixel of each row and column, on surfaces and in the haze, there
    /// of lamps that shine all round at every eighth, that of pixel surfaces coarser, too, all brought up after onto sharp surfaces, thin beams finer; shadow
    /// tiles of a quarter of a draft's side. <see cref="HazeScale"/> says nothing then. What is compared is drawn so only where a sketch was asked for.
    /// </summary>
    public bool Coarse { get; init; }

    internal int ScaleOfHaze => HazeScale > 0 ? Math.Min(HazeScale, 4) : Quality == RenderQuality.Draft ? 2 : 1;

    /// <summary>Of lamps that shine all round; their light in the haze changes slowly.</summary>
    internal int ScaleOfWideHaze => HazeScale > 0 || Quality == RenderQuality.Fine ? ScaleOfHaze : 2;

    /// <summary>Lamps that shine all round cast shadows in the haze too; on surfaces they always do.</summary>
    internal bool LampShadowsInHaze => Quality == RenderQuality.Fine;

    /// <summary>Pixels across a usual beam's shadow map, a power of two; narrow beams get half, wide ones twice as many. A draft has half of each.</summary>
    public int ShadowSide { get; init; } = 512;

    /// <summary>How many mirrors deep a view into mirrors goes: 0 draws mirrors black, 1 shows the room in them, 2 mirrors in mirrors, up to 4.</summary>
    public int MirrorDepth { get; init; } = 1;

    /// <summary>
    /// Mirror planes shown in a picture, the largest first; the others stay black, and the frame says how many. Panels in one plane count once. Within mirrors
    /// an eighth as many.
    /// </summary>
    public int MirrorViews { get; init; } = 512;

    /// <summary>Mirror planes shown in a view so many mirrors deep.</summary>
    internal int MirrorViewsAt(int level) => level == 0 ? MirrorViews : Math.Max(1, MirrorViews / 8);

    /// <summary>Also hand back the picture in cd/m².</summary>
    public bool Linear { get; init; }

    /// <summary>Hand back the finished picture; off saves the tone pass and its read-back when only cd/m² are wanted.</summary>
    public bool Screen { get; init; } = true;

    /// <summary>
    /// Light by tiles in compute (true) or by each beam's fragments (false); null lets the context say: compute from OpenGL 4.3 on, save on a rasteriser on the
    /// CPU.
    /// </summary>
    internal bool? Tiled { get; init; }

    /// <summary>See <see cref="Light.Moments.Camera.SmoothEdges"/>: pixels of walls and gobos finer than a pixel are filtered more softly, too.</summary>
    internal bool SmoothEdges { get; init; }

    /// <summary>For measuring: the finished picture stays where it was drawn, and the call returns when it stands there.</summary>
    internal bool Unread { get; init; }

    /// <summary>
    /// Asked between the parts of a picture whether it is given up; null draws it to its end. Only a rasteriser on the CPU asks: on others the whole picture
    /// lies in the driver's queue before the first part is done.
    /// </summary>
    public Func<bool>? Overtaken { get; init; }

    /// <summary>
    /// A picture of this width and height whose bytes the finished one is put into, for a caller who has done with the last one; null for a new one.
    /// </summary>
    public PixelImage? Into { get; init; }

    /// <summary>A fragment shader of the caller's own in place of <c>haze.frag</c>, at every pixel, to compare with; null for that one.</summary>
    internal ShaderSource? OwnHaze { get; init; }

    /// <summary>Is told of the frame's passes and steps as they run, to measure them; null for nobody.</summary>
    internal IFrameWatch? Watch { get; init; }
}
