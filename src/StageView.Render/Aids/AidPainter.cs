using SkiaSharp;
using StageView.Render.Output;

namespace StageView.Render.Aids;

/// <summary>Paints reading aids on a finished picture. The same input gives the same bytes.</summary>
public static class AidPainter
{
    /// <summary>Length of a beam's axis when it isn't known where it lands, m.</summary>
    public const float OpenAxisMetres = 12;

    /// <summary>Writes remarks into the top left corner of a picture, in place.</summary>
    public static void Remark(PixelImage frame, IEnumerable<string> remarks)
    {
        ArgumentNullException.ThrowIfNull(frame);
        using var page = new AidPage(frame);
        page.Notes.AddRange(remarks);
        PaintNotes(page);
        page.Finish().Rgba.CopyTo(frame.Rgba, 0);
    }

    /// <returns>A new picture of the same size; <paramref name="frame"/> stays as it is.</returns>
    /// <exception cref="ArgumentException"><see cref="ReadingAids.Illuminance"/> without <see cref="AidInput.Lux"/>.</exception>
    public static PixelImage Paint(PixelImage frame, AidInput input, ReadingAids aids)
    {
        ArgumentNullException.ThrowIfNull(frame);
        ArgumentNullException.ThrowIfNull(input);
        if (aids == ReadingAids.None && !input.WorkLight && !input.Indirect)
        {
            return frame;
        }

        using var page = new AidPage(frame);
        var projection = new PictureProjection(input.Camera, frame.Width, frame.Height);
        if (aids.HasFlag(ReadingAids.Illuminance))
        {
            LuxOverlay.Paint(page, input.Lux ?? throw new ArgumentException("the illuminance overlay needs the illuminance of each pixel", nameof(input)));
        }

        page.Notes.AddRange(input.LeftOut);
        if (input.WorkLight)
        {
            page.Notes.Add("work light on: not part of the show");
        }

        if (input.Indirect)
        {
            page.Notes.Add("with light that floors, walls and people throw");
        }

        var notes = SKRect.Create(0, 0, MathF.Min(page.Width, 330 * page.Unit), page.LineHeight * 3);
        page.Placer.Reserve(notes);
        if (aids.HasFlag(ReadingAids.Exposure))
        {
            ExposureRuler.Paint(page, input);
        }

        BeamMarks.Paint(page, projection, input, aids.HasFlag(ReadingAids.Axes), aids.HasFlag(ReadingAids.Landings));
        if (aids.HasFlag(ReadingAids.Illuminance))
        {
            LuxOverlay.Number(page, input.Lux!);
        }

        if ((aids & (ReadingAids.Names | ReadingAids.Universes)) != 0)
        {
            FixtureLabels.Paint(page, projection, input, aids.HasFlag(ReadingAids.Names), aids.HasFlag(ReadingAids.Universes));
        }

        PaintNotes(page);
        return page.Finish();
    }

    private static void PaintNotes(AidPage page)
    {
        for (var i = 0; i < page.Notes.Count; i++)
        {
            var size = page.PlateFor(page.Notes[i]);
            page.Plate(SKRect.Create(4, 4 + (i * (page.LineHeight + 1)), size.Width, size.Height), page.Notes[i]);
        }
    }
}
