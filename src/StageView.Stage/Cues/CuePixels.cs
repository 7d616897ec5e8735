using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Stage.Colour;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Stage.Cues;

/// <summary>A moving pattern over the pixels of a selection, taken as one canvas: fixtures side by side in order, x and y from 0 to 1.</summary>
internal sealed class CuePixels
{
    private readonly IReadOnlyList<Fixture> _fixtures;
    private readonly string _pattern;
    private readonly double _from, _to, _fade, _speed, _level, _size;
    private readonly Vector2 _along;
    private readonly Vector3 _a, _b;
    private readonly int _seed;
    private readonly int _columns;

    private CuePixels(IReadOnlyList<Fixture> fixtures, SourceNode e, double from, double to, double fade, Vector3 a, Vector3 b, int seed)
    {
        (_fixtures, _a, _b, _seed, _from, _to) = (fixtures, a, b, seed, from, to);
        _pattern = e.TextOr("pattern", "run");
        _fade = fade;
        (_speed, _level, _size) = (e.DoubleOr("speed", 1), e.DoubleOr("level", 1), e.DoubleOr("size", 1));
        var angle = e.DoubleOr("angle", 0) * Angles.RadiansPerDegree;
        _along = new Vector2((float)Math.Cos(angle), (float)Math.Sin(angle));
        _columns = fixtures.Sum(f => Grids(f).Sum(g => g.Pixels!.Columns));
    }

    public static IReadOnlyList<string> Patterns { get; } = ["run", "chase", "gradient", "wave", "rings", "bars", "climb", "ember", "solid"];

    public static CuePixels? Read(RigScene rig, SourceNode e, CueClock clock, int seed, ProblemList problems)
    {
        if (!CueSpan.TryRead(e, clock, problems, out var from, out var to) || LookSetter.Select(rig, e, problems) is not { } fixtures
            || !TryColour(e, "colour", "#ffffff", problems, out var a) || !TryColour(e, "second", "#000000", problems, out var b))
        {
            return null;
        }

        var without = fixtures.Where(f => !Grids(f).Any()).Select(f => f.Name).ToList();
        if (without.Count > 0)
        {
            problems.Warn(e.Get("fixtures")!, $"{without[0]}{(without.Count > 1 ? $" and {without.Count - 1} more have" : " has")} no pixels");
        }

        return new CuePixels(fixtures, e, from, to, clock.SecondsOr(e, "fade", .5, problems), a, b, seed);
    }

    public void Apply(LevelsEncoder levels, double t)
    {
        if (t < _from || t >= _to)
        {
            return;
        }

        var envelope = CueSpan.Envelope(t, _from, _to, _fade);
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
        var along = (_along.X * x) + (_along.Y * y);
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
            case "chase":
                // Eight stretches a canvas, every fourth of them lit, moving on by one at a time.
                var place = Math.Floor(along * 8 / _size) - Math.Floor(t * _speed * 8);
                return Wrap(place / 4) == 0 ? (1, 1) : (0, 1);
            case "gradient":
                // From the first colour to the second and back, so that it can move without a seam.
                var there = Wrap((along / (2 * _size)) - (t * _speed / 2));
                return (Math.Abs(1 - (2 * there)), 1);
            case "wave":
                return (.5 + (.5 * Math.Cos(2 * Math.PI * ((along / _size) - (t * _speed)))), 1);
            case "rings":
                var rx = (x - .5) * 4.4;
                var ry = y - .5;
                var ring = Math.Cos(((Math.Sqrt((rx * rx) + (ry * ry)) / _size) - (t * _speed)) * 2 * Math.PI);
                return (.5 + (.5 * ring), Math.Pow(Math.Max(0, ring), 3));
            case "bars":
                var bar = x * 18 / _size;
                var up = PixelNoise.At(_seed, (int)bar, 3) + (t * _speed * (.5 + PixelNoise.At(_seed, (int)bar, 9)));
                var high = up - Math.Floor(up);
                var near = Math.Abs((1 - y) - high);
                return (1 - near, near < .22 ? 1 - (near / .22) : 0);
            case "climb":
                var p = ((1 - y) + (.35 * x) - (t * _speed)) * 2 / _size;
                return (.5, Math.Pow(1 - (p - Math.Floor(p)), 4));
            default:
                return (1, 1);
        }
    }

    private static double Wrap(double x) => x - Math.Floor(x);

    private static bool TryColour(SourceNode e, string key, string otherwise, ProblemList problems, out Vector3 rgb)
    {
        var reads = ColourWanted.TryParse(e.TextOr(key, otherwise), out var colour);
        rgb = colour.Rgb;
        if (!reads)
        {
            problems.Error(e.Get(key)!, "is not a colour: #rrggbb, or a temperature such as 3200K");
        }

        return reads;
    }

    private static IEnumerable<GeometryNode> Grids(Fixture fixture) => fixture.Mode.PixelBlocks.Count == 0 ? []
        : fixture.Mode.Geometry.Where(n => n.Pixels is not null);
}
