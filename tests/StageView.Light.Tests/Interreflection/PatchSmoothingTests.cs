using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Interreflection;

namespace StageView.Light.Tests.Interreflection;

public sealed class PatchSmoothingTests
{
    /// <summary>A room with a wall across that no light passes; a spot on the floor of its left part.</summary>
    private static MattLight Parted()
    {
        var b = Rooms.Builder();
        b.AddBox(2);
        b.Add(Rooms.Plate(new Vector3(.5f, 0, 2), 2, new Vector3(0, 90, 0)));
        b.Add(Rooms.Spot(new Vector3(-1, 0, 3.9f), new Vector3(-1, .5f, 0), 10000, 20, 30));
        return new MattSolver().Solve(b.Build(TimeSpan.Zero));
    }

    [Fact]
    public void Each_piece_keeps_its_light_and_loses_its_grain()
    {
        var light = Parted();
        double Flux(int piece, ReadOnlySpan<Vector3> lux)
        {
            var sum = 0.0;
            for (var i = 0; i < light.Patches.Count; i++)
            {
                sum += light.Patches.InstanceOf(i).Value == piece ? light.Patches.Areas[i] * BeamPhotometry.Luminance(lux[i]) : 0;
            }

            return sum;
        }

        double Grain(PatchGrid grid, ReadOnlySpan<Vector3> lux)
        {
            var differences = new List<double>();
            foreach (var (a, b) in grid.Shape.Neighbours)
            {
                var (x, y) = (BeamPhotometry.Luminance(lux[grid.First + a]), BeamPhotometry.Luminance(lux[grid.First + b]));
                if (x > 20 && y > 20)
                {
                    differences.Add(Math.Abs(x - y) / (x + y));
                }
            }

            return differences.Order().ElementAt(differences.Count / 2);
        }

        for (var piece = 0; piece < 7; piece++)
        {
            Rooms.Near(Flux(piece, light.Indirect), Flux(piece, light.Smooth), 1e-4);
        }

        var ceiling = light.Patches.Grids[1]!.Value;
        Assert.True(Grain(ceiling, light.Smooth) < .5 * Grain(ceiling, light.Indirect), $"{Grain(ceiling, light.Indirect)} {Grain(ceiling, light.Smooth)}");
    }

    [Fact]
    public void Light_hardly_creeps_under_a_wall()
    {
        var light = Parted();
        var (left, right) = (0f, 0f);
        for (var i = 0; i < light.Patches.Count; i++)
        {
            var place = light.Patches.Place(i, .5f, .5f, out var normal);
            if (normal.Z > .9f && place.Z < .1f)
            {
                left = place.X is > -.5f and < .2f ? MathF.Max(left, light.Smooth[i].Y) : left;
                right = place.X > .8f ? MathF.Max(right, light.Smooth[i].Y) : right;
            }
        }

        Assert.InRange(right, 0, .15f * left);
    }
}
