using System.Numerics;
using SkiaSharp;

namespace StageView.Render.Aids;

/// <summary>Names and universe numbers beside the fixtures; lit fixtures first, and what finds no room is counted.</summary>
internal static class FixtureLabels
{
    public static void Paint(AidPage page, in PictureProjection projection, AidInput input, bool names, bool universes)
    {
        var lit = new bool[input.Fixtures.Count];
        foreach (ref readonly var beam in input.Moment.Beams.Span)
        {
            if (!beam.Fixture.IsNone && beam.Fixture.Value < lit.Length)
            {
                lit[beam.Fixture.Value] = true;
            }
        }

        foreach (ref readonly var surface in input.Moment.PixelSurfaces.Span)
        {
            if (!surface.Fixture.IsNone && surface.Fixture.Value < lit.Length)
            {
                lit[surface.Fixture.Value] = true;
            }
        }

        var seen = new List<(int Fixture, Vector2 At)>();
        for (var i = 0; i < input.Fixtures.Count; i++)
        {
            if (projection.TryPoint(input.Fixtures[i].Point, out var at) && projection.Shows(at))
            {
                seen.Add((i, at));
                page.Placer.Reserve(SKRect.Create(at.X - 2, at.Y - 2, 4, 4));
            }
        }

        var leftOut = 0;
        foreach (var (fixture, at) in seen.OrderBy(s => lit[s.Fixture] ? 0 : 1).ThenBy(s => s.Fixture))
        {
            if (!TryLabel(page, input.Fixtures[fixture], at, names, universes, lit[fixture]))
            {
                leftOut++;
            }
        }

        if (leftOut > 0)
        {
            page.Notes.Add($"{leftOut} of {seen.Count} labels left out: no room");
        }
    }

    private static bool TryLabel(AidPage page, in AidFixture fixture, Vector2 at, bool names, bool universes, bool lit)
    {
        var number = !universes ? "" : fixture.Universes.Count switch
        {
            0 => "unpatched",
            1 => $"{fixture.Universes[0]}",
            _ => $"{fixture.Universes[0]}+{fixture.Universes.Count - 1}",
        };
        var name = names ? fixture.Name : "";
        var plate = number.Length > 0 ? page.PlateFor(number).Width : 0;
        var text = name.Length > 0 ? page.PlateFor(name).Width : 0;
        if (plate + text == 0)
        {
            return true;
        }

        if (!page.Placer.TryPlace(new SKPoint(at.X, at.Y), new SKSize(plate + text, page.LineHeight), out var rect))
        {
            return false;
        }

        var ink = lit ? AidColours.Ink : new SKColor(150, 150, 150);
        page.Ring(at, 1.5f * page.Unit, ink, page.Unit);
        var patched = fixture.Universes.Count > 0;
        var plateColour = patched ? AidColours.Universe(fixture.Universes[0]) : new SKColor(60, 60, 60);
        page.Label(at, rect, ink, () =>
        {
            page.Fill(rect, AidColours.Plate, 2 * page.Unit);
            if (plate > 0)
            {
                var chip = SKRect.Create(rect.Left, rect.Top, plate, rect.Height);
                page.Fill(chip, plateColour, 2 * page.Unit);
                page.Text(chip, number, patched ? SKColors.Black : AidColours.Ink);
            }

            if (text > 0)
            {
                page.Text(SKRect.Create(rect.Left + plate, rect.Top, text, rect.Height), name, ink);
            }
        });
        return true;
    }
}
