using StageView.Light.Photometry;

namespace StageView.Light.Tests.Photometry;

/// <summary>Beam and field angle between the measured angles. The closed form: cosⁿθ falls to a share s at θ = arccos(s^(1/n)).</summary>
public sealed class WebAnglesTests
{
    private static PhotometricWeb Web(float[] degrees, params Func<double, double>[] planes) => new()
    {
        Name = "own",
        PolarRadians = [.. degrees.Select(d => d * MathF.PI / 180)],
        AzimuthRadians = [.. planes.Select((_, i) => i * MathF.Tau / planes.Length)],
        Relative = [.. planes.SelectMany(p => degrees.Select(d => (float)p(d * Math.PI / 180)))],
        PeakCandela = 1,
        Lumens = 1,
    };

    private static float[] Every(float step) => [.. Enumerable.Range(0, (int)(90 / step) + 1).Select(i => i * step)];

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(10)]
    [InlineData(30)]
    [InlineData(100)]
    public void A_power_of_the_cosine_has_its_angles_on_every_grid(int n)
    {
        foreach (var step in (float[])[1, 2.5f, 5])
        {
            var web = Web(Every(step), t => Math.Pow(Math.Max(0, Math.Cos(t)), n), t => Math.Pow(Math.Max(0, Math.Cos(t)), 2 * n));
            foreach (var share in (float[])[.5f, .1f])
            {
                var full = 2 * Math.Acos(Math.Pow(share, 1.0 / n)) * 180 / Math.PI;
                Assert.Equal(full, 2 * WebAngles.WidestAt(web, share) * 180 / MathF.PI, .05);
            }
        }
    }

    /// <summary>A Gaussian's ratio of field to beam angle is √(ln 10 / ln 2) = 1.8226; hard edges lie between their values.</summary>
    [Fact]
    public void Gaussians_edges_and_ends()
    {
        var gaussian = Web(Every(2.5f), t => Math.Exp(-t * t / (2 * .15 * .15)));
        Assert.Equal(1.8226f, WebAngles.WidestAt(gaussian, .1f) / WebAngles.WidestAt(gaussian, .5f), .001f);
        var edge = Web([0, 10, 20, 90], t => t < .2 ? 1 : 0);
        Assert.Equal(15, WebAngles.WidestAt(edge, .5f) * 180 / MathF.PI, 1e-3f);
        Assert.Equal(19, WebAngles.WidestAt(edge, .1f) * 180 / MathF.PI, 1e-3f);
        Assert.Equal(180, WebAngles.WidestAt(Web([0, 90, 180], _ => 1), .5f) * 180 / MathF.PI, 1e-3f);
        Assert.Equal(0, WebAngles.WidestAt(Web([0, 90], _ => .4), .5f));

        // Dark on the axis: the outer edge counts.
        var ring = Web(Every(5), t => Math.Exp(-Math.Pow((t - .7) / .2, 2)));
        Assert.Equal(.7 + (.2 * Math.Sqrt(Math.Log(2))), WebAngles.WidestAt(ring, .5f), .001);
    }
}
