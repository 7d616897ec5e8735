using System.Numerics;
using StageView.Light.Mirrors;

namespace StageView.Light.Tests.Mirrors;

/// <summary>What shines against integrals over all directions.</summary>
public sealed class GlossTests
{
    [Theory]
    [InlineData(0.04f, 0.1f, 80)]
    [InlineData(0.04f, 0.3f, 10)]
    [InlineData(0.5f, 0.2f, 45)]
    [InlineData(0.9f, 0.5f, 70)]
    [InlineData(0.9f, 1f, 30)]
    public void The_share_is_the_lobe_added_up_and_with_a_white_albedo_all_light_comes_back(float shine, float roughness, float degrees)
    {
        var (sin, cos) = MathF.SinCos(degrees * MathF.PI / 180);
        var light = new Vector3(sin, 0, cos);
        // By half vectors: dω = 4 (l·h) dω_h, in steps of their slope, where the lobe is as wide as it is rough.
        double sum = 0;
        const int rings = 400, turns = 360;
        for (var i = 0; i < rings; i++)
        {
            // Closer together where slopes are steep.
            var w = 1 - ((i + 0.5) / rings);
            var u = 1 - (w * w);
            var slope = roughness * Math.Sqrt(u / (1 - u));
            var h = 1 / Math.Sqrt(1 + (slope * slope));
            for (var k = 0; k < turns; k++)
            {
                var (s, c) = Math.SinCos(Math.Tau * (k + 0.5) / turns);
                var half = new Vector3((float)(slope * h * c), (float)(slope * h * s), (float)h);
                var facing = Vector3.Dot(light, half);
                var eye = (2 * facing * half) - light;
                if (facing > 0 && eye.Z > 0)
                {
                    // dω_h = slope d slope dk h³, slope d slope = roughness² du / (2 (1 - u)²).
                    var solid = roughness * roughness / (2 * (1 - u) * (1 - u)) * 2 * w / rings * (Math.Tau / turns) * h * h * h;
                    sum += Gloss.Of(Vector3.UnitZ, light, eye, shine, roughness) * eye.Z * 4 * facing * solid;
                }
            }
        }

        var share = GlossShares.At(cos, shine, roughness);
        Assert.InRange(share / sum, 0.99, 1.01);
        Assert.InRange(share, shine * 0.3f, 1);
        // What a white surface throws back: the lobe, and what the lobe leaves.
        Assert.Equal(1, sum + (1 - share), 0.01);
    }

    [Fact]
    public void The_lobe_is_the_same_both_ways_and_matt_is_what_is_left()
    {
        var (a, b) = (Vector3.Normalize(new Vector3(1, 0.3f, 0.7f)), Vector3.Normalize(new Vector3(-0.8f, 0.1f, 0.5f)));
        Assert.Equal(Gloss.Of(Vector3.UnitZ, a, b, 0.3f, 0.2f), Gloss.Of(Vector3.UnitZ, b, a, 0.3f, 0.2f), 1e-4f);
        Assert.Equal(1, GlossShares.Matt(0, 0.2f));
        // A smooth surface's mean of Schlick's Fresnel over all sides is shine + (1 - shine) / 21.
        Assert.Equal(1 - (0.04f + (0.96f / 21)), GlossShares.Matt(0.04f, 0.02f), 2e-3f);
        Assert.Equal(0, Gloss.Of(Vector3.UnitZ, a, -a, 0.5f, 0.2f));
    }
}
