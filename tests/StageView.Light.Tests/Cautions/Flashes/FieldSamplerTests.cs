using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Cautions.Flashes;

public sealed class FieldSamplerTests
{
    private static readonly FieldGrid Grid = FieldGrid.Eye(80, 60, 2, 10);
    private static readonly Vector3 Eye = new(0, -6, 1.5f);

    private static Vector3[] Seen(MomentBuilder b, MeterSettings? settings = null)
    {
        var m = b.Build(TimeSpan.Zero);
        var scene = OcclusionScene.From(m);
        var cells = new Vector3[Grid.Cells];
        new FieldSampler(Grid).Sample(new LightMeter(m, scene, settings), scene, Eye, Vector3.UnitY, Vector3.UnitZ, cells);
        return cells;
    }

    private static float At(Vector3[] cells, float x, float z) =>
        BeamPhotometry.Luminance(cells[Grid.CellOf(Vector3.Normalize(new Vector3(x, z - Eye.Z, 6)))]);

    private static double Lux(Vector3[] cells)
    {
        var sum = 0.0;
        for (var i = 0; i < cells.Length; i++)
        {
            sum += BeamPhotometry.Luminance(cells[i]) * Grid.Areas[i] * Grid.Directions[i].Z;
        }

        return sum;
    }

    private static void Wall(MomentBuilder b, float luminance) =>
        b.AddSurface(new PixelSurface
        {
            Columns = 8, Rows = 4, Fill = 1, Origin = new Vector3(-2, 0, 2.5f), EdgeU = new Vector3(4, 0, 0),
            EdgeV = new Vector3(0, 0, -2)
        }).Fill(new Vector3(luminance));

    // Luminance doesn't depend on distance: a wall of 300 cd/m² is seen as 300, and lights the eye as the meter says.
    [Fact]
    public void A_wall_of_light_is_seen_at_its_own_luminance()
    {
        var b = Rooms.Builder();
        Wall(b, 300);
        var m = b.Build(TimeSpan.Zero);
        var meter = Rooms.Meter(m);
        b.Begin();
        Wall(b, 300);
        var cells = Seen(b);
        Rooms.Near(300, At(cells, 0, 1.5f), 1e-4);
        Rooms.Near(300, At(cells, 1.2f, 1.9f), 1e-4);
        Assert.Equal(0, At(cells, 3, 1.5f));
        Rooms.Near(meter.At(Eye, Vector3.UnitY).Lux, Lux(cells), 0.01);
    }

    // A batten 1 m long and 4 cm high, .4° at 6 m: far thinner than a cell, and all its light is there.
    [Fact]
    public void A_thin_batten_loses_nothing_between_looks()
    {
        void Batten(MomentBuilder b, float z) =>
            b.AddSurface(new PixelSurface
            {
                Columns = 10, Rows = 1, Fill = 1, Origin = new Vector3(-0.5f, 0, z), EdgeU = new Vector3(1, 0, 0),
                EdgeV = new Vector3(0, 0, -0.04f)
            }).Fill(new Vector3(8000));
        foreach (var z in new[] { 1.5f, 1.56f, 1.61f, 1.7f })
        {
            var b = Rooms.Builder();
            Batten(b, z);
            var lux = Rooms.Meter(b.Build(TimeSpan.Zero)).At(Eye, Vector3.UnitY).Lux;
            b.Begin();
            Batten(b, z);
            Rooms.Near(lux, Lux(Seen(b)), 0.01);
        }
    }

    // A matt surface of albedo ρ under E lx has L = ρE/π (Lambert).
    [Fact]
    public void A_lit_wall_is_seen_by_its_albedo()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Lamp(new Vector3(0, -3, 4), 5000));
        b.Add(Rooms.Plate(new Vector3(0, 0, 1.5f), 6, new Vector3(90, 0, 0)));
        var cells = Seen(b);
        // At (0, 0, 1.5): E = 5000/4π · 3/(9 + 2.5²)^1.5.
        Rooms.Near(0.5 / Math.PI * 5000 / (4 * Math.PI) * 3 / Math.Pow(9 + 6.25, 1.5), At(cells, 0, 1.5f), 0.1);
    }

    // A lens too small for any ray: what it gives the eye, E = I/r², is in its cell as E over the cell's solid angle.
    [Fact]
    public void A_lens_that_shines_at_the_eye_is_in_its_cell_and_in_a_mirror_too()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(1, 0, 2), Eye, 2000, 10, 18));
        var cells = Seen(b);
        Assert.Single(cells, c => c != Vector3.Zero);
        b.Begin();
        b.Add(Rooms.Spot(new Vector3(1, 0, 2), Eye, 2000, 10, 18));
        var lux = Rooms.Meter(b.Build(TimeSpan.Zero)).FromBeam(new BeamIndex(0), Eye, Vector3.Normalize(new Vector3(1, 6, 0.5f)));
        Rooms.Near(lux / Grid.Areas[Grid.CellOf(Vector3.Normalize(new Vector3(1, 0.5f, 6)))], At(cells, 1, 2), 1e-3);

        // Behind the eye, seen in a mirror ahead: its image stands 10 m behind the glass.
        b.Begin();
        b.Add(Rooms.Spot(new Vector3(0.6f, -10, 1.5f), new Vector3(0.1f, 0, 1.5f), 2000, 10, 18));
        b.AddMirror(new Vector3(0, 0, 1.5f), -Vector3.UnitY, Vector3.UnitZ, 4, 2);
        cells = Seen(b);
        var image = Vector3.Normalize(new Vector3(0.6f, 0, 16));
        Assert.NotEqual(Vector3.Zero, cells[Grid.CellOf(image)]);
    }

    [Fact]
    public void What_stands_in_the_way_hides_a_wall()
    {
        var b = Rooms.Builder();
        Wall(b, 300);
        b.Add(Rooms.Plate(new Vector3(0, -3, 0), 10, new Vector3(90, 0, 0)) with { Albedo = Vector3.Zero });
        Assert.All(Seen(b), c => Assert.Equal(Vector3.Zero, c));
    }

    [Fact]
    public void Haze_glows_as_the_reference_says()
    {
        var b = Rooms.Builder();
        b.Haze = new Haze(0.03f, 1, 0.6f);
        b.Add(Rooms.Spot(new Vector3(-3, 0, 1.5f), new Vector3(3, 0, 1.5f), 8000, 12, 20));
        var cells = Seen(b);
        b.Begin();
        b.Add(Rooms.Spot(new Vector3(-3, 0, 1.5f), new Vector3(3, 0, 1.5f), 8000, 12, 20));
        var m = b.Build(TimeSpan.Zero);
        foreach (var x in new[] { -1f, 0, 1.5f })
        {
            var direction = Grid.Directions[Grid.CellOf(Vector3.Normalize(new Vector3(x, 0.05f, 6)))];
            var world = new Vector3(direction.X, direction.Z, direction.Y);
            // The nearest group's ray lies within two degrees.
            var most = 0.0;
            var least = double.MaxValue;
            foreach (var (du, dv) in new[] { (0f, 0f), (0.035f, 0), (-0.035f, 0), (0, 0.035f), (0, -0.035f), (0.035f, 0.035f), (-0.035f, -0.035f) })
            {
                var l = BeamPhotometry.Luminance(new ReferenceRadiance(m, null, 1e-4).Along(Eye, Vector3.Normalize(world + new Vector3(du, 0, dv)), 100));
                (most, least) = (Math.Max(most, l), Math.Min(least, l));
            }

            Assert.InRange(At(cells, x, 1.55f), least * 0.85, most * 1.15);
        }
    }

    [Fact]
    public void A_globe_is_seen_at_its_luminance()
    {
        var b = Rooms.Builder();
        b.AddSurface(new PixelSurface
        {
            Shape = PixelShape.Globe, Columns = 1, Rows = 1, Fill = 1, Origin = new Vector3(0, 0, 1.5f),
            EdgeU = new Vector3(1.6f, 0, 0), EdgeV = Vector3.UnitZ
        })[0] = new Vector3(700);
        var cells = Seen(b);
        Rooms.Near(700, At(cells, 0.1f, 1.6f), 0.2);
        // E = L·π·R²/d² at the eye.
        Rooms.Near(700 * Math.PI * 0.64 / 36, Lux(cells), 0.03);
    }
}
