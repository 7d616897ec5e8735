using System.Numerics;
using SkiaSharp;
using StageView.Ground.Drawings;

namespace StageView.Render.Aids;

/// <summary>The label placer in Skia's types.</summary>
internal static class SkiaPlaces
{
    public static LabelPlacer Placer(int width, int height, float gap) => new(new Rectangle(Vector2.Zero, new Vector2(width, height)), gap);

    public static void Reserve(this LabelPlacer placer, SKRect rect) => placer.Reserve(rect.ToRectangle());

    public static bool Covers(this LabelPlacer placer, SKPoint point) => placer.Covers(new Vector2(point.X, point.Y));

    public static bool TryPlace(this LabelPlacer placer, SKPoint anchor, SKSize size, out SKRect rect)
    {
        var found = placer.TryPlace(new Vector2(anchor.X, anchor.Y), new Vector2(size.Width, size.Height), out var place);
        rect = place.ToSkia();
        return found;
    }

    public static bool TryCentre(this LabelPlacer placer, SKPoint anchor, SKSize size, out SKRect rect)
    {
        var found = placer.TryCentre(new Vector2(anchor.X, anchor.Y), new Vector2(size.Width, size.Height), out var place);
        rect = place.ToSkia();
        return found;
    }

    public static SKRect ToSkia(this Rectangle r) => new(r.Low.X, r.Low.Y, r.High.X, r.High.Y);

    private static Rectangle ToRectangle(this SKRect r) => new(new Vector2(r.Left, r.Top), new Vector2(r.Right, r.Bottom));
}
