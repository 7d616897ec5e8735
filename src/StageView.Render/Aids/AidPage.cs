using System.Numerics;
using SkiaSharp;
using StageView.Ground.Drawings;
using StageView.Render.Output;

namespace StageView.Render.Aids;

/// <summary>The picture being painted on, with the few strokes that all reading aids are made of.</summary>
internal sealed class AidPage : IDisposable
{
    private readonly SKBitmap _bitmap;
    private readonly SKPaint _paint = new() { IsAntialias = true };
    private readonly List<Action> _labels = [];

    public AidPage(PixelImage frame)
    {
        _bitmap = new SKBitmap(new SKImageInfo(frame.Width, frame.Height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        frame.Rgba.CopyTo(_bitmap.GetPixelSpan());
        Canvas = new SKCanvas(_bitmap);
        // Text stays readable on small pictures and does not shrink below 10 pixels.
        TextSize = MathF.Max(10, MathF.Round(13f * frame.Height / 720));
        Unit = TextSize / 13;
        Font = new AidFont(TextSize);
        Placer = SkiaPlaces.Placer(frame.Width, frame.Height, 7 * Unit);
    }

    public SKCanvas Canvas { get; }

    public AidFont Font { get; }

    public LabelPlacer Placer { get; }

    public float TextSize { get; }

    /// <summary>Pixels for one pixel of a 720-line picture, not below 10/13.</summary>
    public float Unit { get; }

    public int Width => _bitmap.Width;

    public int Height => _bitmap.Height;

    public float LineHeight => MathF.Round(TextSize * 1.35f);

    /// <summary>Remarks that stand in the picture's top left corner.</summary>
    public List<string> Notes { get; } = [];

    public Span<byte> Pixels => _bitmap.GetPixelSpan();

    /// <summary>Draws the label after all lines, so that no line crosses a text; a thin line joins it to its point where it stands off.</summary>
    public void Label(Vector2 at, SKRect rect, SKColor ink, Action draw)
    {
        var near = new Vector2(Math.Clamp(at.X, rect.Left, rect.Right), Math.Clamp(at.Y, rect.Top, rect.Bottom));
        if (Vector2.Distance(near, at) > 8 * Unit)
        {
            Line(at, near, ink.WithAlpha(170), Unit);
        }

        _labels.Add(draw);
    }

    /// <summary>Draws a panel over all lines.</summary>
    public void Panel(Action draw) => _labels.Add(draw);

    public PixelImage Finish()
    {
        foreach (var draw in _labels)
        {
            draw();
        }

        Canvas.Flush();
        return new PixelImage(Width, Height, _bitmap.GetPixelSpan().ToArray());
    }

    public float WidthOf(string text) => MathF.Ceiling(Font.Width(text));

    public SKSize PlateFor(string text) => new(WidthOf(text) + MathF.Round(8 * Unit), LineHeight);

    public void Fill(SKRect rect, SKColor colour, float radius = 0)
    {
        (_paint.Color, _paint.Style) = (colour, SKPaintStyle.Fill);
        Canvas.DrawRoundRect(rect, radius, radius, _paint);
    }

    /// <summary>Text on a dark plate that fills <paramref name="rect"/>.</summary>
    public void Plate(SKRect rect, string text, SKColor? ink = null)
    {
        Fill(rect, AidColours.Plate, 2 * Unit);
        Text(rect, text, ink ?? AidColours.Ink);
    }

    /// <summary>Text in the middle of a rectangle one line high.</summary>
    public void Text(SKRect rect, string text, SKColor ink)
    {
        (_paint.Color, _paint.Style) = (ink, SKPaintStyle.Fill);
        Font.Draw(Canvas, text, MathF.Round(rect.MidX - (WidthOf(text) * 0.5f)), MathF.Round(rect.MidY + (TextSize * 0.36f)), _paint);
    }

    public void Line(Vector2 a, Vector2 b, SKColor colour, float width, bool dashed = false)
    {
        if (!ClipToPicture(ref a, ref b))
        {
            return;
        }

        Stroke(p => Canvas.DrawLine(a.X, a.Y, b.X, b.Y, p), colour, width, dashed);
    }

    public void Ring(Vector2 middle, float radius, SKColor colour, float width) =>
        Stroke(p => Canvas.DrawCircle(middle.X, middle.Y, radius, p), colour, width, false);

    public void Box(SKRect rect, SKColor colour, float width) => Stroke(p => Canvas.DrawRect(rect, p), colour, width, false);

    /// <summary>A dark halo first, so that the stroke reads on bright pictures, too.</summary>
    private void Stroke(Action<SKPaint> draw, SKColor colour, float width, bool dashed)
    {
        _paint.Style = SKPaintStyle.Stroke;
        (_paint.Color, _paint.StrokeWidth) = (AidColours.Halo, width + (2 * Unit));
        draw(_paint);
        using var dash = dashed ? SKPathEffect.CreateDash([7 * Unit, 5 * Unit], 0) : null;
        (_paint.Color, _paint.StrokeWidth, _paint.PathEffect) = (colour, width, dash);
        draw(_paint);
        _paint.PathEffect = null;
    }

    // Ends far outside would lose precision in the rasteriser: Liang-Barsky against the picture with a margin.
    private bool ClipToPicture(ref Vector2 a, ref Vector2 b)
    {
        const float margin = 50;
        var d = b - a;
        float enter = 0, leave = 1;
        Span<(float P, float Q)> edges = [(-d.X, a.X + margin), (d.X, Width + margin - a.X), (-d.Y, a.Y + margin), (d.Y, Height + margin - a.Y)];
        foreach (var (p, q) in edges)
        {
            if (p == 0)
            {
                if (q < 0)
                {
                    return false;
                }
            }
            else if (p < 0)
            {
                enter = MathF.Max(enter, q / p);
            }
            else
            {
                leave = MathF.Min(leave, q / p);
            }
        }

        if (!(enter <= leave))
        {
            return false;
        }

        (a, b) = (a + (d * enter), a + (d * leave));
        return true;
    }

    public void Dispose()
    {
        Canvas.Dispose();
        _bitmap.Dispose();
        _paint.Dispose();
    }
}
