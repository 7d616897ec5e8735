using System.Numerics;
using System.Xml.Linq;
using StageView.Light.Grids;

namespace StageView.Light.Tests.Grids;

public sealed class GridTests
{
    private static LuxMap Floor(int count = 41)
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Lamp(new Vector3(0, 0, 3)));
        b.Add(Rooms.Plate(Vector3.Zero, 10));
        var grid = new MeasuringGrid(new(-4, -4, 0), new(8, 0, 0), new(0, 8, 0), count, count, Vector3.UnitZ);
        return GridMeter.Measure(Rooms.Meter(b.Build(TimeSpan.Zero)), grid, new Quantity(QuantityKind.Plane));
    }

    [Fact]
    public void A_map_has_its_points_and_its_figures()
    {
        var map = Floor();
        Rooms.Near(88.42, map.Maximum, 1e-3);
        // Corner: r = 4√2: I·h/(h²+r²)^1.5 with 10000/4π cd.
        Rooms.Near(795.77 * 3 / Math.Pow(9 + 32, 1.5), map.Minimum, 1e-3);
        Rooms.Near(map.Minimum / map.Average, map.Uniformity, 1e-9);
        Assert.Equal(map.Maximum, map.Lux[(20 * 41) + 20]);
    }

    // The isolux line of a bare lamp is a circle: at 31.26 lx its radius is 3 m (table of the inverse square check).
    [Fact]
    public void The_isolux_line_of_a_lamp_is_a_circle()
    {
        var map = Floor();
        var line = Isolux.Line(map, 31.26f);
        Assert.True(line.Count > 60);
        foreach (var (from, to) in line)
        {
            foreach (var p in new[] { from, to })
            {
                Assert.Equal(3, (new Vector2((p.X * 0.2f) - 4, (p.Y * 0.2f) - 4)).Length(), 0.01);
            }
        }
    }

    [Fact]
    public void The_SVG_is_well_formed_and_says_its_figures()
    {
        var text = LuxSvg.Write(Floor(11), "floor <1>");
        var svg = XDocument.Parse(text);
        Assert.Equal("svg", svg.Root!.Name.LocalName);
        Assert.Contains("maximum 88.4", text, StringComparison.Ordinal);
        Assert.True(svg.Descendants().Count(e => e.Name.LocalName == "path") >= 3);
    }

    // Lines crowd round a shadow: each label takes a place of its own or is left out.
    [Fact]
    public void Labels_of_lines_do_not_lie_on_each_other()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Lamp(new Vector3(0, 0, 3)));
        b.Add(Rooms.Plate(new Vector3(0.8f, 0, 1), 0.3f));
        var map = GridMeter.Measure(Rooms.Meter(b.Build(TimeSpan.Zero)), new MeasuringGrid(new(-4, -4, 0), new(8, 0, 0), new(0, 8, 0), 25, 25, Vector3.UnitZ),
            new Quantity(QuantityKind.Plane));
        var labels = XDocument.Parse(LuxSvg.Write(map, "t")).Descendants()
            .Where(e => e.Name.LocalName == "text" && (string?)e.Attribute("paint-order") == "stroke")
            .Select(e => (X: (double)e.Attribute("x")!, Y: (double)e.Attribute("y")!, Width: e.Value.Length * 7.0)).ToList();
        Assert.InRange(labels.Count, 2, 8);
        Assert.All(labels.SelectMany((p, i) => labels.Skip(i + 1).Select(q => (p, q))), t =>
            Assert.True(t.p.X + t.p.Width < t.q.X || t.q.X + t.q.Width < t.p.X || Math.Abs(t.p.Y - t.q.Y) > 11, $"{t}"));
    }

    [Fact]
    public void The_heat_scale_gets_lighter_all_the_way()
    {
        double last = -1;
        for (var i = 0; i <= 20; i++)
        {
            var (r, g, b) = HeatScale.Colour(i / 20.0);
            var light = (0.2126 * r) + (0.7152 * g) + (0.0722 * b);
            Assert.True(light > last);
            last = light;
        }
    }

    // By hand: a line of 0, 10, 100 lx is (0/2 + 10 + 100/2)/2 = 30 in the mean; a field of 3 x 3 with 36 lx in its middle alone is 36/4 = 9.
    [Fact]
    public void Points_at_the_border_speak_for_half_a_step()
    {
        var line = new LuxMap { Grid = new MeasuringGrid(default, Vector3.UnitX, default, 3, 1, Vector3.UnitZ), Quantity = default, Lux = [0, 10, 100] };
        Assert.Equal(30, line.Average, 1e-9);
        var field = new LuxMap
        {
            Grid = new MeasuringGrid(default, Vector3.UnitX, Vector3.UnitY, 3, 3, Vector3.UnitZ), Quantity = default, Lux = [0, 0, 0, 0, 36, 0, 0, 0, 0],
        };
        Assert.Equal(9, field.Average, 1e-9);
    }
}
