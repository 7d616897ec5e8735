using System.Numerics;
using StageView.Ground.Drawings;

namespace StageView.Paperwork.Drawings;

/// <summary>Draws an overlay's rays and places on a sheet, cut at its frame.</summary>
/// <param name="sheet">Where to draw.</param>
/// <param name="flat">World to the plane of the drawing, m.</param>
/// <param name="low">Corner of the frame, m.</param>
/// <param name="high">The other corner.</param>
internal sealed class OverlayWriter(Sheet sheet, Func<Vector3, Vector2> flat, Vector2 low, Vector2 high)
{
    private const float Band = 1.1f;

    /// <summary>Bands of hazard under everything else of the overlay, then the rays, then circles.</summary>
    public void Draw(DrawingOverlay overlay)
    {
        foreach (var ray in overlay.Rays.Where(r => r.HazardMetres > 0))
        {
            if (Cut(ray.From, End(ray)) is { } band)
            {
                sheet.Page.Line(sheet.At(band.A), sheet.At(band.B), Band, .78f);
            }
        }

        foreach (var ray in overlay.Rays)
        {
            if (ray.HazardMetres > 0 && Cut(ray.From, End(ray)) is { } near)
            {
                sheet.Page.Line(sheet.At(near.A), sheet.At(near.B), .14f);
            }

            if (ray.HazardMetres < Vector3.Distance(ray.From, ray.To) && Cut(End(ray), ray.To) is { } far)
            {
                sheet.Dash(sheet.At(far.A), sheet.At(far.B));
            }
        }

        foreach (var mark in overlay.Marks.Where(m => m.Radius * sheet.PerMetre > 0.8f && Holds(flat(m.At))))
        {
            sheet.Page.Circle(sheet.At(flat(mark.At)), mark.Radius * sheet.PerMetre, .2f, .25f);
        }

        for (var i = 0; i < overlay.Legend.Count; i++)
        {
            sheet.Page.Write(sheet.RoomLow + new Vector2(1, 3 + (i * 3.6f)), overlay.Legend[i], 2.5f);
        }
    }

    /// <summary>Small rings at the marks' places, or where their rays leave the frame; labels are put beside them.</summary>
    public IEnumerable<(string Text, Vector2 Low, Vector2 High)> Rings(DrawingOverlay overlay)
    {
        var known = new List<(string Text, Vector2 At)>();
        foreach (var mark in overlay.Marks)
        {
            if (Cut(mark.From, mark.At) is not { } seen)
            {
                continue;
            }

            var at = sheet.At(seen.B);
            sheet.Page.Circle(at, .7f, .2f, 0, 1);
            // Ends that lie on one another share a label.
            var same = known.FindIndex(k => Vector2.Distance(k.At, at) < 1.5f);
            if (same >= 0)
            {
                known[same] = (known[same].Text + " " + mark.Text, known[same].At);
            }
            else
            {
                known.Add((mark.Text, at));
            }
        }

        return known.Select(k => (k.Text, k.At - new Vector2(.9f), k.At + new Vector2(.9f)));
    }

    private static Vector3 End(OverlayRay ray)
    {
        var length = Vector3.Distance(ray.From, ray.To);
        return length <= 0 ? ray.From : Vector3.Lerp(ray.From, ray.To, Math.Clamp(ray.HazardMetres / length, 0, 1));
    }

    private bool Holds(Vector2 p) => p.X >= low.X && p.Y >= low.Y && p.X <= high.X && p.Y <= high.Y;

    private (Vector2 A, Vector2 B)? Cut(Vector3 from, Vector3 to) => DrawingGuides.Within(flat(from), flat(to), low, high);
}
