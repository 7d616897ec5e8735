using StageView.Light.Moments;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Output;
using StageView.Render.Settings;
using StageView.Rig.Pieces;

namespace StageView.Show.Frames;

/// <summary>Draws moments without a display and writes them as PNG files.</summary>
public sealed class Pictures : IDisposable
{
    private readonly GlContext _context;
    private readonly FrameRenderer _renderer;

    public Pictures()
    {
        _context = Offscreen.Open();
        _renderer = new FrameRenderer(_context);
    }

    /// <summary>What bounds left out of any picture so far, each text once.</summary>
    public IReadOnlyCollection<string> LeftOut => _renderer.LeftOut;

    public string Renderer => _context.Renderer;

    /// <summary>Draws in a style; valid as long as this.</summary>
    public PicturePainter Painter(RigScene rig, PictureStyle style) => new(_renderer, rig, style);

    public string Driver => _context.DriverVersion;

    /// <param name="moment">What is seen.</param>
    /// <param name="camera">Who looks.</param>
    /// <param name="size">Of the picture.</param>
    /// <param name="style">Of which only how fine it is counts; null for the usual.</param>
    /// <param name="into">See <see cref="RenderSettings.Into"/>.</param>
    public PixelImage Draw(Moment moment, Camera camera, FrameSize size, PictureStyle? style = null, PixelImage? into = null) =>
        _renderer.Render(moment, camera, new RenderSettings
        {
            Width = size.Width, Height = size.Height, Into = into, Quality = (style ?? PictureStyle.Plain).Detail,
            Coarse = style is { Sketch: true } && _context.IsSoftware,
        }).Screen!;

    public void Write(Moment moment, Camera camera, FrameSize size, string file)
    {
        if (Path.GetDirectoryName(Path.GetFullPath(file)) is { } folder)
        {
            Directory.CreateDirectory(folder);
        }

        PngPicture.Write(file, Draw(moment, camera, size));
    }

    public void Dispose()
    {
        _renderer.Dispose();
        _context.Dispose();
    }
}
