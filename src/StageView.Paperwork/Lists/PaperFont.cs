using SkiaSharp;
using StageView.Ground.Fonts;

namespace StageView.Paperwork.Lists;

/// <summary>Letters on paper: DejaVu Sans, a little condensed; what it lacks comes from whatever font of the machine has it.</summary>
internal sealed class PaperFont : IDisposable
{
    /// <summary>DejaVu Sans is wider than the Helvetica that drawings are laid out with; this brings figures to about its width.</summary>
    private const float Condensed = .87f;

    private readonly SKTypeface _own;
    private readonly SKFont _letters;
    private readonly Dictionary<int, SKTypeface> _others = [];

    public PaperFont()
    {
        _own = SKTypeface.FromStream(SansFont.Open());
        _letters = new SKFont(_own);
    }

    public void Dispose()
    {
        foreach (var other in _others.Values.Where(o => !ReferenceEquals(o, _own)).Distinct())
        {
            other.Dispose();
        }

        _letters.Dispose();
        _own.Dispose();
    }

    /// <param name="canvas">Where it is written; its unit is that of the sizes.</param>
    /// <param name="text">One line.</param>
    /// <param name="x">Where it begins.</param>
    /// <param name="y">Its base line.</param>
    /// <param name="size">Height of the font.</param>
    /// <param name="width">The width it must have, or null for its own.</param>
    public void Write(SKCanvas canvas, string text, float x, float y, float size, float? width)
    {
        var runs = Runs(text);
        var own = runs.Sum(r => Width(r, size));
        var squeeze = width is { } must && own > 0 ? must / own : 1;
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = true };
        foreach (var run in runs)
        {
            using var font = Font(run.Face, size);
            font.ScaleX *= squeeze;
            canvas.DrawText(run.Text, x, y, SKTextAlign.Left, font, ink);
            x += font.MeasureText(run.Text);
        }
    }

    private static SKFont Font(SKTypeface face, float size) => new(face, size, Condensed) { Subpixel = true, Hinting = SKFontHinting.None };

    private static float Width((string Text, SKTypeface Face) run, float size)
    {
        using var font = Font(run.Face, size);
        return font.MeasureText(run.Text);
    }

    private List<(string Text, SKTypeface Face)> Runs(string text)
    {
        var runs = new List<(string Text, SKTypeface Face)>();
        foreach (var rune in text.EnumerateRunes())
        {
            var face = FaceOf(rune.Value);
            if (runs.Count > 0 && ReferenceEquals(runs[^1].Face, face))
            {
                runs[^1] = (runs[^1].Text + rune, face);
            }
            else
            {
                runs.Add((rune.ToString(), face));
            }
        }

        return runs;
    }

    private SKTypeface FaceOf(int letter)
    {
        if (_letters.ContainsGlyph(letter))
        {
            return _own;
        }

        if (!_others.TryGetValue(letter, out var face))
        {
            _others[letter] = face = SKFontManager.Default.MatchCharacter(letter) ?? _own;
        }

        return face;
    }
}
