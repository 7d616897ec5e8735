using System.Numerics;
using StageView.Ground.Numbers;

namespace StageView.Ground.Drawings;

/// <summary>A page of plain shapes in millimetres, x to the right, y down; written as SVG or PDF.</summary>
public sealed class Drawing
{
    public Drawing(string name, string title, float width, float height)
    {
        Name = name;
        Title = title;
        Width = width;
        Height = height;
    }

    /// <summary>File name without extension.</summary>
    public string Name { get; }

    public string Title { get; }

    public float Width { get; }

    public float Height { get; }

    public List<DrawnShape> Shapes { get; } = [];

    public void Line(Vector2 a, Vector2 b, float width = .18f, float grey = 0, uint ink = 0) => Lines([a, b], width, grey, ink);

    /// <summary>Lines from point to point.</summary>
    public void Lines(Vector2[] points, float width = .18f, float grey = 0, uint ink = 0) =>
        Shapes.Add(new DrawnShape(points, false, width, grey, null, "", 0, false) { Ink = ink });

    /// <param name="more">Further outlines of the same area; one within another is a hollow.</param>
    public void Area(Vector2[] corners, float width = .18f, float grey = 0, float? fill = null, Vector2[][]? more = null, uint ink = 0) =>
        Shapes.Add(new DrawnShape(corners, true, width, grey, fill, "", 0, false) { More = more ?? [], Ink = ink });

    public void Circle(Vector2 centre, float radius, float width = .18f, float grey = 0, float? fill = null)
    {
        var points = new Vector2[32];
        for (var i = 0; i < points.Length; i++)
        {
            var a = MathF.Tau * i / points.Length;
            points[i] = centre + (radius * new Vector2(Trig.Cos(a), Trig.Sin(a)));
        }

        Area(points, width, grey, fill);
    }

    public void Write(Vector2 at, string text, float size = 2.5f, bool centred = false) =>
        Shapes.Add(new DrawnShape([at], false, 0, 0, null, text, size, centred));
}

/// <param name="Points">Outline, or where the text stands.</param>
/// <param name="Fill">Grey of the inside, 0 black to 1 white, or null.</param>
public sealed record DrawnShape(Vector2[] Points, bool Closed, float Stroke, float Grey, float? Fill, string Text, float TextSize, bool Centred)
{
    /// <summary>Further closed outlines, filled by the even-odd rule with the first.</summary>
    public Vector2[][] More { get; init; } = [];

    /// <summary>The colour that 0 stands for, 0xRRGGBB in sRGB; greys lie between it and white. Black when left out.</summary>
    public uint Ink { get; init; }

    /// <summary>A grey of this shape as sRGB.</summary>
    public (byte R, byte G, byte B) Shade(float grey)
    {
        var v = Math.Clamp(grey, 0, 1);
        byte Mixed(uint ink) => (byte)MathF.Round(ink + ((255 - ink) * v));
        return (Mixed(Ink >> 16 & 255), Mixed(Ink >> 8 & 255), Mixed(Ink & 255));
    }
}
