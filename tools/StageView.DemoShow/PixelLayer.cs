using System.Numerics;
using System.Text.Json;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.DemoShow;

/// <summary>A moving pattern over the pixels of a selection, taken as one canvas: fixtures side by side in order, x and y from 0 to 1.</summary>
internal sealed class PixelLayer
{
    private readonly IReadOnlyList<Fixture> _fixtures;
    private readonly string _pattern;
    private readonly double _from, _to, _fade, _speed, _level, _size;
    private readonly Vector3 _a, _b;
    private readonly int _seed;
    private readonly int _columns;

    private PixelLayer(IReadOnlyList<Fixture> fixtures, JsonElement e, Vector3 a, Vector3 b, int seed)
    {
        (_fixtures, _a, _b, _seed) = (fixtures, a, b, seed);
        _pattern = Show.Text(e, "pattern", "run");
        (_from, _to, _fade) = (Show.Number(e, "from", 0), Show.Number(e, "to", 0), Show.Number(e, "fade", .5));
        (_speed, _level, _size) = (Show.Number(e, "speed", 1), Show.Number(e, "level", 1), Show.Number(e, "size", 1));
        _columns = fixtures.Sum(f => Grids(f).Sum(g => g.Pixels!.Columns));
    }

    public static PixelLayer? Read(RigScene rig, JsonElement e, string path, int seed, List<LookProblem> problems)
    {
        if (!FixtureSelection.TryFind(rig, Show.Text(e, "fixtures"), out var fixtures, out var why))
        {
            problems.Add(new(path + ".fixtures", why));
            return null;
        }

        if (!ColourWanted.TryParse(Show.Text(e, "colour", "#ffffff"), out var a) || !ColourWanted.TryParse(Show.Text(e, "second", "#000000"), out var b))
        {
            problems.Add(new(path, "\"colour\" and \"second\" are colours such as #ff8800 or 3200K"));
            return null;
        }

        return new PixelLayer(fixtures, e, a.Rgb, b.Rgb, seed);
    }

    public void Apply(LevelsEncoder levels, double t)
    {
        if (t < _from || t >= _to)
        {
            return;
        }

        var envelope = _fade <= 0 ? 1 : Math.Clamp(Math.Min((t - _from) / _fade, (_to - t) / _fade), 0, 1);
        var at = 0;
        foreach (var fixture in _fixtures)
        {
            foreach (var node in Grids(fixture))
            {
                var grid = node.Pixels!;
                for (var column = 0; column < grid.Columns; column++)
                {
                    for (var row = 0; row < grid.Rows; row++)
                    {
                        var (mix, level) = Value((at + column + .5) / _columns, (row + .5) / grid.Rows, t - _from);
                        var rgb = Vector3.Lerp(_b, _a, (float)Math.Clamp(mix, 0, 1)) * (float)(Math.Clamp(level, 0, 1) * envelope * _level);
                        levels.SetPixel(fixture, node.Index, column, row, rgb);
                    }
                }

                at += grid.Columns;
            }
        }
    }

    /// <summary>How much of the first colour, and how bright.</summary>
    private (double Mix, double Level) Value(double x, double y, double t)
    {
        switch (_pattern)
        {
            case "ember":
                var n = PixelNoise.Smooth(_seed, x * 14 / _size, (y * 5 / _size) + (t * _speed));
                var fine = PixelNoise.Smooth(_seed + 1, x * 40, (y * 16) + (t * _speed * 2.2));
                var heat = Math.Pow(y, .8) * ((.75 * n) + (.45 * fine));
                return (1 - heat, heat * heat * 1.6);
            case "run":
                // A bright front that crosses the canvas with a tail, and a mirrored one behind it.
                var head = ((t * _speed) % 1.5) - .25;
                var d = head - x;
                var tail = d < 0 ? Math.Exp(d * 60) : Math.Exp(-d * 7 / _size);
                var grain = .55 + (.45 * PixelNoise.At(_seed, (int)(x * _columns), (int)(y * 17)));
                return (tail, tail * (d is > -.02 and < .03 ? 1 : grain));
            case "rings":
                var rx = (x - .5) * 4.4;
                var ry = y - .5;
                var ring = Math.Cos(((Math.Sqrt((rx * rx) + (ry * ry)) / _size) - (t * _speed)) * 2 * Math.PI);
                return (.5 + (.5 * ring), Math.Pow(Math.Max(0, ring), 3));
            case "bars":
                var bar = x * 18 / _size;
                var up = PixelNoise.At(_seed, (int)bar, 3) + (t * _speed * (.5 + PixelNoise.At(_seed, (int)bar, 9)));
                var place = up - Math.Floor(up);
                var near = Math.Abs((1 - y) - place);
                return (1 - near, near < .22 ? 1 - (near / .22) : 0);
            case "climb":
                var p = ((1 - y) + (.35 * x) - (t * _speed)) * 2 / _size;
                return (.5, Math.Pow(1 - (p - Math.Floor(p)), 4));
            default:
                return (1, 1);
        }
    }

    private static IEnumerable<GeometryNode> Grids(Fixture fixture) => fixture.Mode.Geometry.Where(n => n.Pixels is not null);
}
