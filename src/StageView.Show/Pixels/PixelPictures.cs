using System.Globalization;
using System.Numerics;
using SkiaSharp;
using StageView.Ground.Files;
using StageView.Ground.Fonts;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Stage.Content;

namespace StageView.Show.Pixels;

/// <summary>Pictures of a map: which pixel is which, and where pixels are beside where the map thinks they are.</summary>
public static class PixelPictures
{
    private static readonly SKColor[] Hues =
    [
        new(200, 60, 50), new(60, 130, 220), new(70, 160, 70), new(210, 150, 40), new(150, 80, 190), new(60, 170, 170), new(200, 90, 140), new(130, 130, 60),
    ];

    /// <summary>
    /// A numbered picture to lay over a map: each fixture's part has a colour and its number, a lighter stripe at its top and left, and white at the pixel that
    /// comes first on the wire, grey at the last.
    /// </summary>
    /// <param name="rig">The rig.</param>
    /// <param name="question">The map.</param>
    /// <param name="width">Pixels, 16 to 8192.</param>
    /// <param name="height">Pixels, 16 to 8192.</param>
    public static SKBitmap Numbered(RigScene rig, PixelsQuestion question, int width, int height)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(question);
        var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.Black);
        using var paint = new SKPaint { IsAntialias = false };
        var size = new Vector2(width, height);
        var rows = question.Rows().ToLookup(r => r.Fixture, StringComparer.Ordinal);
        var n = 0;
        foreach (var group in question.Map.Patches.GroupBy(p => p.Fixture))
        {
            var fixture = rig.Fixtures[group.Key.Value];
            var own = rows[fixture.Name].ToList();
            paint.Color = Hues[n++ % Hues.Length];
            foreach (var r in own)
            {
                canvas.DrawRect(Cell(r, size), paint);
            }

            var (left, top) = (own.Min(r => r.U), own.Min(r => r.V));
            paint.Color = new SKColor(255, 255, 255, 90);
            foreach (var r in own.Where(r => r.U - left < r.Width * .5f || r.V - top < r.Height * .5f))
            {
                canvas.DrawRect(Cell(r, size), paint);
            }

            paint.Color = new SKColor(110, 110, 110);
            canvas.DrawRect(Cell(own[^1], size), paint);
            paint.Color = SKColors.White;
            canvas.DrawRect(Cell(own[0], size), paint);
            Number(canvas, fixture.Number.Length > 0 ? fixture.Number : (n - 1).ToString(CultureInfo.InvariantCulture), own, size);
        }

        return bitmap;
    }

    /// <summary>The numbered picture as content over its map.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="question">The map.</param>
    /// <param name="luminance">Of its white, cd/m².</param>
    public static PlacedContent Test(RigScene rig, PixelsQuestion question, float luminance)
    {
        using var bitmap = Numbered(rig, question, 1920, 1080);
        var from = bitmap.GetPixelSpan();
        var rgb = new byte[1920 * 1080 * 3];
        for (var i = 0; i < 1920 * 1080; i++)
        {
            from.Slice(i * 4, 3).CopyTo(rgb.AsSpan(i * 3));
        }

        return new PlacedContent(
            new ContentPlacement
            {
                Name = "numbered picture", File = "", FullPath = "", Luminance = luminance, Map = question.Map.Name,
                Fixtures = [.. question.Map.Patches.Select(p => p.Fixture).Distinct()],
            },
            new Still(ContentImage.FromSrgb(1920, 1080, rgb)), question.Map);
    }

    /// <summary>Where the map thinks pixels are (rings) and where they are (dots), joined, over the picture's plane; panels turned away are red.</summary>
    /// <param name="question">The map.</param>
    /// <param name="now">Where all surfaces are.</param>
    /// <param name="title">Written into the corner.</param>
    /// <param name="width">Pixels.</param>
    /// <param name="height">Pixels.</param>
    public static SKBitmap RestAndNow(PixelsQuestion question, IReadOnlyList<PixelSurface> now, string title, int width, int height)
    {
        ArgumentNullException.ThrowIfNull(question);
        var at = now.ToDictionary(s => (s.Fixture, s.Emitter));
        var pairs = new List<(Vector2 Still, Vector2 Now, bool Away)>();
        foreach (var patch in question.Map.Patches)
        {
            if (!at.TryGetValue((patch.Fixture, patch.Emitter), out var s))
            {
                continue;
            }

            var away = PixelTracker.IsAway(patch, s);
            for (var i = 0; i < patch.Rest.Columns * patch.Rest.Rows; i++)
            {
                var (c, r) = (i % patch.Rest.Columns, i / patch.Rest.Columns);
                var middle = patch.MiddleOf(c, r);
                if (!float.IsNaN(middle.X))
                {
                    var step = PixelTracker.PlaceOf(s, c, r) - PixelTracker.PlaceOf(patch.Rest, c, r);
                    pairs.Add((middle, middle + new Vector2(Vector3.Dot(step, patch.PerMetreU), Vector3.Dot(step, patch.PerMetreV)), away));
                }
            }
        }

        var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(new SKColor(18, 18, 22));
        using var paint = new SKPaint { IsAntialias = true, StrokeWidth = 1.2f };
        var (low, high) = (Vector2.Zero, Vector2.One);
        foreach (var p in pairs)
        {
            (low, high) = (Vector2.Min(low, Vector2.Min(p.Still, p.Now)), Vector2.Max(high, Vector2.Max(p.Still, p.Now)));
        }

        var margin = new Vector2(24, 40);
        var scale = (new Vector2(width, height) - (2 * margin)) / Vector2.Max(high - low, new Vector2(1e-3f));
        SKPoint On(Vector2 uv)
        {
            var v = margin + ((uv - low) * scale);
            return new SKPoint(v.X, v.Y);
        }

        paint.Style = SKPaintStyle.Stroke;
        paint.Color = new SKColor(90, 90, 100);
        var (corner, end) = (On(Vector2.Zero), On(Vector2.One));
        canvas.DrawRect(new SKRect(corner.X, corner.Y, end.X, end.Y), paint);
        foreach (var (rest, there, away) in pairs)
        {
            var (a, b) = (On(rest), On(there));
            paint.Style = SKPaintStyle.Stroke;
            paint.Color = new SKColor(150, 150, 160);
            canvas.DrawCircle(a, 3, paint);
            paint.Color = away ? new SKColor(230, 70, 60) : new SKColor(240, 190, 70);
            canvas.DrawLine(a, b, paint);
            paint.Style = SKPaintStyle.Fill;
            canvas.DrawCircle(b, 2.2f, paint);
        }

        using var font = FontOf(16);
        paint.Style = SKPaintStyle.Fill;
        paint.Color = SKColors.White;
        canvas.DrawText(title, 12, 22, SKTextAlign.Left, font, paint);
        return bitmap;
    }

    /// <summary>As a PNG file.</summary>
    public static void Write(SKBitmap bitmap, string file)
    {
        ArgumentNullException.ThrowIfNull(bitmap);
        using var data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        WholeFile.Write(file, data.AsSpan());
    }

    private static SKFont FontOf(float size) => new(SKTypeface.FromStream(SansFont.Open()), size);

    private static SKRect Cell(PixelMapRow r, Vector2 size) =>
        new((r.U - (r.Width / 2)) * size.X, (r.V - (r.Height / 2)) * size.Y, (r.U + (r.Width / 2)) * size.X, (r.V + (r.Height / 2)) * size.Y);

    private static void Number(SKCanvas canvas, string text, List<PixelMapRow> own, Vector2 size)
    {
        var low = new Vector2(own.Min(r => r.U - (r.Width / 2)), own.Min(r => r.V - (r.Height / 2))) * size;
        var high = new Vector2(own.Max(r => r.U + (r.Width / 2)), own.Max(r => r.V + (r.Height / 2))) * size;
        using var font = FontOf(100);
        var wide = font.MeasureText(text, out var bounds);
        font.Size = 100 * MathF.Min(.8f * (high.X - low.X) / MathF.Max(1, wide), .5f * (high.Y - low.Y) / MathF.Max(1, bounds.Height));
        font.MeasureText(text, out bounds);
        using var paint = new SKPaint { Color = SKColors.White, IsAntialias = true };
        var middle = (low + high) / 2;
        canvas.DrawText(text, middle.X - bounds.MidX, middle.Y - bounds.MidY, SKTextAlign.Left, font, paint);
    }

    private sealed class Still(ContentImage image) : IContentFrames
    {
        public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat) => image;
    }
}
